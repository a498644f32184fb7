"""What a step's ticks come to, whatever order they came in."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol, TypeVar

from shoprepair.shop.models import Staff
from shoprepair.work.models import Step, Tick

State = Step.State
Verb = Tick.Verb
_AT_ONE_MOMENT = {Verb.START: 0, Verb.SKIP: 1, Verb.DONE: 2, Verb.UNDO: 3}


class Ticked(Protocol):
    """A tick, kept or not yet kept."""

    verb: str
    reason: str
    who: Staff
    at: datetime.datetime
    key: str


T = TypeVar("T", bound=Ticked)


@dataclass(frozen=True, slots=True)
class Settled:
    """What a step's ticks come to: its state, who brought it there and when, and why it was left out."""

    state: Step.State
    who: Staff | None = None
    at: datetime.datetime | None = None
    reason: str = ""


def state_of(ticks: Iterable[Ticked]) -> Settled:
    """The state that follows from all ticks of one step.

    What wins, and why:

    1. Ticks count in the order in which they were tapped, by the devices' clocks, not in that in which
       they came: a device without a line sends late what was done early. Taps of one moment count as
       start, skip, done, undo, then by their keys, so that every device finds the same order.
    2. Done beats start: a step that somebody did is not begun again by another device that had not heard.
       Only what was taken back can be begun again.
    3. Done beats skip, whichever came first: work that was done was not left out.
    4. Two devices' dones count once, and so do two skips; the first one says who and when.
    5. An undo takes back the latest done, or where there is none the latest skip, before it; with neither,
       it takes back the start. So one undo suffices after two devices' dones, for they counted once. A
       skip that a done covered stands again when the done is taken back.

    Nothing here asks when a tick was received: the same ticks give the same state in any order of arrival.
    """
    running: Ticked | None = None
    skipped: Ticked | None = None
    done: Ticked | None = None
    for tick in in_order(ticks):
        if tick.verb == Verb.START:
            running = tick if not (done or skipped) else running
        elif tick.verb == Verb.DONE:
            done, running = done or tick, None
        elif tick.verb == Verb.SKIP:
            skipped = skipped if skipped or done else tick
            running = None
        elif done:
            done = None
        elif skipped:
            skipped = None
        else:
            running = None
    if done:
        return Settled(State.DONE, done.who, done.at)
    if skipped:
        return Settled(State.SKIPPED, skipped.who, skipped.at, skipped.reason)
    return Settled(State.RUNNING, running.who, running.at) if running else Settled(State.WAITING)


def in_order(ticks: Iterable[T]) -> list[T]:
    """Ticks as they count one after the other: as they were tapped, not as they came."""
    return sorted(ticks, key=_order)


def _order(tick: Ticked) -> tuple[datetime.datetime, int, str]:
    return tick.at, _AT_ONE_MOMENT[Verb(tick.verb)], tick.key
