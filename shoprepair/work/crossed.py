"""Two people's ticks that met on one step, neither having heard of the other; a person says which counts."""

import datetime
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from shoprepair.shop.models import Staff
from shoprepair.work import ticks
from shoprepair.work.models import Step, Tick
from shoprepair.work.settling import in_order, state_of

State = Step.State
Verb = Tick.Verb
AFTER = {Verb.DONE: State.DONE, Verb.SKIP: State.SKIPPED, Verb.UNDO: State.WAITING}
"""What whoever ticks wants the step to be."""
MOST_TICKS = 3
"""From any state to any other it takes fewer."""


@dataclass(frozen=True, slots=True)
class Crossed:
    """A tick, somebody else's that says otherwise, and which of the two the step stands at by the rules."""

    mine: Tick
    theirs: Tick
    mine_stands: bool


def crossed(tick: Tick, seen: str) -> Crossed | None:
    """Somebody else's tick of the same step that says otherwise and was not known where this one was tapped.

    seen: the state in which its device showed the step then; empty where it does not say. Two who did the
    same, or left the same out, agree. A start says nothing.
    """
    if tick.verb == Verb.START:
        return None
    every = in_order(tick.step.ticks.select_related("who"))
    others = [each for each in every if each.who_id != tick.who_id and each.verb != Verb.START]
    at = every.index(tick)
    unheard = [each for each in others if every.index(each) > at]
    if not unheard and seen and _plain(state_of(every[:at]).state) != _plain(seen):
        unheard = others[-1:]
    if not unheard or AFTER[Verb(unheard[-1].verb)] == AFTER[Verb(tick.verb)]:
        return None
    stands = _plain(state_of(every).state) == AFTER[Verb(tick.verb)]
    return Crossed(tick, unheard[-1], stands)


@transaction.atomic
def bring_to(
    step: Step, state: str, *, key: str, who: Staff, at: datetime.datetime | None = None, reason: str = ""
) -> Step:
    """Let the step stand so, by whatever ticks that takes. Sent twice it is done once. Raises TickRefused."""
    at = at or timezone.now()
    # As it stands now: what decides is not what a page of a while ago showed.
    step = Step.objects.select_related("job").get(pk=step.pk)
    for number in range(MOST_TICKS):
        if _plain(step.state) == state:
            break
        verb = _towards(step.state, state)
        step = ticks.take(step, verb, key=f"{key}-{number}", who=who, at=at, reason=reason)
        at = timezone.now()
    return step


def _towards(now: str, wanted: str) -> str:
    if wanted == State.DONE:
        return Verb.DONE
    # What was done cannot be left out before it is taken back.
    return Verb.SKIP if wanted == State.SKIPPED and now != State.DONE else Verb.UNDO


def _plain(state: str) -> str:
    """A step that somebody has begun is as open as one that waits."""
    return State.WAITING if state == State.RUNNING else state
