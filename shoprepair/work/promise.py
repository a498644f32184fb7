"""What the likely and the late date of a job are made of; `ranges` reads both from the plan of all jobs.

The likely one comes from minutes and dates as they stand, the late one from work that takes longer and parts
that come later, as far as the shop has found that they do.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import ceil

from django.utils.translation import gettext

from shoprepair.mechanics.description import Sentence
from shoprepair.mechanics.domain import need
from shoprepair.work.dispatch import Planned
from shoprepair.work.people import Person
from shoprepair.work.tasks import USUAL, JobToDo, Precedence


@dataclass(frozen=True, kw_only=True, slots=True)
class Delays:
    """What the late date allows for [assumed]: the shop's own measured ones are better."""

    work_factor: float = 1.4
    """Bench minutes taken over those planned."""
    parts_days: int = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What all promises of one moment share."""

    people: tuple[Person, ...]
    now: datetime
    """Aware, in the shop's time zone."""
    holidays: frozenset[date] = frozenset()
    precedence: Precedence = USUAL
    delays: Delays = Delays()


@dataclass(frozen=True, kw_only=True, slots=True)
class Promised:
    """When a job is ready to be fetched."""

    job: int
    likely_on: date
    late_on: date
    reason: Sentence
    """What puts it off most."""


def ready_on(planned: Planned, shop: Shop) -> date:
    """The first open day on which a job lies ready before the last one goes home."""
    ready_at = planned.ready_at
    on = ready_at.date()
    if ready_at.hour * 60 + ready_at.minute > _closes(on, shop):
        on += timedelta(days=1)
    return open_day(on, shop)


def open_day(on: date, shop: Shop) -> date:
    """That day, or the first one after it on which somebody works."""
    while not _closes(on, shop):
        on += timedelta(days=1)
    return on


def _closes(on: date, shop: Shop) -> int:
    """Minute of the day at which the last one goes home; 0 on a closed day."""
    if on in shop.holidays:
        return 0
    weekday = on.weekday()
    there = [person for person in shop.people if person.minutes[weekday] and on not in person.away]
    return max([person.opens + person.minutes[weekday] for person in there], default=0)


def delayed(jobs: Iterable[JobToDo], delays: Delays) -> list[JobToDo]:
    """The same jobs where everything that usually goes wrong does."""
    need(delays.work_factor >= 1 and delays.parts_days >= 0, gettext("A delay cannot make anything earlier."))
    return [
        replace(
            job,
            steps=tuple(replace(s, minutes=ceil(s.minutes * delays.work_factor)) for s in job.steps),
            parts_on=job.parts_on and job.parts_on + timedelta(days=delays.parts_days),
        )
        for job in jobs
    ]
