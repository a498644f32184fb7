"""Jobs as the bench sees them: what is to be done, what it waits for, and how they are ordered."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.utils.translation import gettext

from shoprepair.mechanics.description import Band
from shoprepair.mechanics.domain import need


@dataclass(frozen=True, kw_only=True, slots=True)
class StepToDo:
    """One thing to do at the bench."""

    name: str
    """Its own within the job."""
    minutes: int
    """At the bench, whole ones; 0 for what is done in passing."""
    after: tuple[str, ...] = ()
    """Names of the steps that must be done before."""
    wait_minutes: int = 0
    """Drying or curing before anything that comes after, by the clock on the wall."""
    set_up: str = ""
    """What must be set up for it; steps with the same word share it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class JobToDo:
    """An agreed job with what is left to do on it."""

    number: int
    band: Band
    urgency: int
    """0 to 100, of the most dangerous damage."""
    promised_on: date
    joined_at: datetime
    """When it joined the jobs to do: the go-ahead."""
    steps: tuple[StepToDo, ...]
    parts_there: bool = True
    parts_on: date | None = None
    """First day on which all parts are there, when they are not."""
    dry_at: datetime | None = None
    """Nothing can be done before: the gear dries, or a bond of it cures."""
    waits_for: str = ""
    """What else it waits for, of which nobody knows the end: 'the customer'."""
    taken_by: str = ""
    """Name of the person who has begun it."""

    @property
    def minutes(self) -> int:
        """Left at the bench."""
        return sum(step.minutes for step in self.steps)

    @property
    def set_ups(self) -> frozenset[str]:
        """What must be set up for it."""
        return frozenset(step.set_up for step in self.steps if step.set_up)


@dataclass(frozen=True, slots=True)
class Precedence:
    """What danger counts for [assumed]: the owner's to change."""

    head_start_days: Mapping[Band, int]
    """By how much it moves a job ahead of its promise."""
    weight: Mapping[Band, int]
    """How many times a day of lateness counts."""


USUAL = Precedence(
    head_start_days={Band.GROUNDED: 3, Band.REPAIR_FIRST: 2, Band.NEXT_SERVICE: 1, Band.WATCH: 0},
    weight={Band.GROUNDED: 4, Band.REPAIR_FIRST: 3, Band.NEXT_SERVICE: 2, Band.WATCH: 1},
)
Key = tuple[bool, date, int, datetime, int]


def key(job: JobToDo, precedence: Precedence = USUAL) -> Key:
    """By what jobs are sorted: begun ones first, then the promise less the head start that danger
    gives, then danger, then who agreed first."""
    return not job.taken_by, counts_as(job, precedence), -job.urgency, job.joined_at, job.number


def counts_as(job: JobToDo, precedence: Precedence = USUAL) -> date:
    """The date that the job is ordered by."""
    return job.promised_on - timedelta(days=precedence.head_start_days[job.band])


def check_jobs(jobs: Iterable[JobToDo]) -> tuple[JobToDo, ...]:
    """The jobs, their steps in an order that can be worked; ValueError with one sentence where none is."""
    checked = tuple(_checked(job) for job in jobs)
    numbers = [job.number for job in checked]
    need(len(set(numbers)) == len(numbers), gettext("The same job stands twice among the jobs to do."))
    return checked


def _checked(job: JobToDo) -> JobToDo:
    steps = _workable(job)
    return job if steps == job.steps else replace(job, steps=steps)


def _workable(job: JobToDo) -> tuple[StepToDo, ...]:
    """The steps in the order given, each moved back behind its predecessors."""
    names = {step.name for step in job.steps}
    need(
        len(names) == len(job.steps),
        gettext("Two steps of job %(number)s have the same name.") % {"number": job.number},
    )
    seen: set[str] = set()
    in_order = True
    for step in job.steps:
        need(
            min(step.minutes, step.wait_minutes) >= 0,
            gettext("“%(name)s” cannot take less than no time.") % {"name": step.name},
        )
        for before in step.after:
            in_order = in_order and before in seen
            need(
                before in names,
                gettext("“%(name)s” comes after “%(before)s”, which job %(number)s does not have.")
                % {"name": step.name, "before": before, "number": job.number},
            )
        seen.add(step.name)
    if in_order:
        return job.steps
    done: dict[str, StepToDo] = {}
    while len(done) < len(job.steps):
        free = [s for s in job.steps if s.name not in done and done.keys() >= set(s.after)]
        need(
            bool(free),
            gettext("The steps of job %(number)s wait for one another in a circle.") % {"number": job.number},
        )
        done[free[0].name] = free[0]
    return tuple(done.values())
