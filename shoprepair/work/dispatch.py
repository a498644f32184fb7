"""Who does which job when: a plan that a new job can only push back.

A job is worked by one person from its first step to its last; a step, once begun, is not left for another.
The jobs have an order: those begun come first, then by promise less the head start that danger gives
(`tasks.key`). They are put in one by one, in the order in which they joined.

A new job takes, step by step, the earliest minutes that are free of anything before it in the order, with
whoever has it ready first. What stands there and comes after it in the order makes way (`making_way`): the
row of that person moves back as it stands, each step as little as it must. Drying, curing and missing parts
leave room, which jobs put in later may fill. Where a new job makes any late, it goes up to six places up or
down the order, to where the least comes late, weighted by danger (`line`).

**Adding a job never makes another earlier.** List scheduling alone does not keep this (Graham 1969, SIAM
J. Appl. Math. 17(2) 416: more work may end sooner): a job pushed back leaves the room that it had, and a
later one could slip into it. Here nothing that is planned ever moves forward: while a job is put in, the
others keep their places to the minute or move back in the row of the same person.

The plan of n + 1 jobs is the plan of the first n with one more put in; so, for every plan, adding the job
that joins last makes no step of any other job begin or end earlier. That holds whatever its danger, parts
or curing. There is no chance in it and ties are broken by number: the same jobs give the same plan.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import cached_property

from django.utils.translation import gettext

from shoprepair.mechanics.description import Sentence
from shoprepair.mechanics.domain import need
from shoprepair.work.bench import Bench
from shoprepair.work.line import Line, Placed, entering
from shoprepair.work.people import DAY, Hours, Person, check_people
from shoprepair.work.tasks import USUAL, JobToDo, Precedence, check_jobs, key


@dataclass(frozen=True, kw_only=True, slots=True)
class Stretch:
    """A stretch of one day that one person works on one step."""

    job: int
    step: str
    person: str
    begins_at: datetime
    ends_at: datetime


@dataclass(frozen=True, kw_only=True)
class Planned:
    """When one job is worked."""

    job: int
    person: str
    begins_at: datetime
    ready_at: datetime
    """Everything done, dry and cured."""
    turns: tuple[tuple[str, int, int], ...]
    """Each step with the first of its bench minutes and the one after its last."""
    midnight: datetime
    """Before the first day of the plan."""
    hours: Hours = field(repr=False, compare=False)

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """What is worked day by day; made only for whoever asks, as the dates of all jobs need none of it."""
        return tuple(
            Stretch(
                job=self.job,
                step=step,
                person=self.person,
                begins_at=self.midnight + timedelta(minutes=begins),
                ends_at=self.midnight + timedelta(minutes=ends),
            )
            for step, start, end in self.turns
            for begins, ends in self.hours.pieces(start, end)
        )


@dataclass(frozen=True, kw_only=True)
class Plan:
    """Who does which job when."""

    planned: tuple[Planned, ...]
    """In the order of the jobs, not of time."""
    unplanned: tuple[tuple[int, Sentence], ...] = ()
    """Jobs of which nobody knows when they can go on, and why."""

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """All stretches by time."""
        every = [stretch for job in self.planned for stretch in job.stretches]
        return tuple(sorted(every, key=lambda stretch: (stretch.begins_at, stretch.person)))

    def of(self, number: int) -> Planned | None:
        """When this job is worked; None where nobody knows."""
        return self._by_number.get(number)

    @cached_property
    def _by_number(self) -> dict[int, Planned]:
        return {each.job: each for each in self.planned}


class Planning:
    """A plan in the making: jobs are put in, and between two of them it may be read."""

    def __init__(
        self,
        jobs: Iterable[JobToDo],
        people: Sequence[Person],
        *,
        now: datetime,
        holidays: frozenset[date] = frozenset(),
        precedence: Precedence = USUAL,
        spare_lateness: bool = True,
    ) -> None:
        """Of all jobs that will be put in, as `plan` has it."""
        need(now.utcoffset() is not None, gettext("The time from which to plan must say its time zone."))
        check_people(tuple(people))
        working = [person for person in people if person.works]
        self._now, self._weight, self._spare_lateness = now, precedence.weight, spare_lateness
        self._midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
        self._benches = {person.name: Bench(Hours(person, now.date(), holidays)) for person in working}
        self._names = {bench: name for name, bench in self._benches.items()}
        self._line = Line()
        every = sorted(check_jobs(jobs), key=lambda job: key(job, precedence))
        self._jobs = {job.number: (rank, job) for rank, job in enumerate(every)}
        self._unplanned: dict[int, Sentence] = {}

    def put_in(self, jobs: Iterable[JobToDo]) -> None:
        """Put some of the jobs in, one by one as they joined."""
        for job in sorted(jobs, key=lambda job: (job.joined_at, job.number)):
            if (why := not_known(job)) is not None:
                self._unplanned[job.number] = why
            else:
                self._put_in(*self._jobs[job.number])

    def _put_in(self, rank: int, job: JobToDo) -> None:
        new = entering(
            job,
            rank=rank,
            release=_release(job, self._now),
            due=((job.promised_on - self._now.date()).days + 1) * DAY,
            weight=self._weight[job.band],
        )
        begun_at = self._benches.get(job.taken_by)
        benches = [begun_at] if begun_at else tuple(self._benches.values())
        self._line.put_in(new, benches, spare_lateness=self._spare_lateness)

    def plan(self) -> Plan:
        """The plan of all that was put in."""
        return Plan(
            planned=tuple(self._planned(placed) for placed in self._line.order),
            unplanned=tuple(sorted(self._unplanned.items())),
        )

    def _planned(self, placed: Placed) -> Planned:
        assert placed.bench
        hours, ready_at = placed.bench.hours, self._midnight + timedelta(minutes=placed.ready)
        worked = [turn.start for turn in placed.turns if turn.minutes]
        begins = timedelta(minutes=hours.begins(min(worked))) if worked else None
        turns = zip(placed.job.steps, placed.turns, strict=True)
        return Planned(
            job=placed.job.number,
            person=self._names[placed.bench],
            begins_at=ready_at if begins is None else self._midnight + begins,
            ready_at=ready_at,
            turns=tuple([(step.name, turn.start, turn.end) for step, turn in turns]),
            midnight=self._midnight,
            hours=hours,
        )


def plan(
    jobs: Iterable[JobToDo],
    people: Sequence[Person],
    *,
    now: datetime,
    holidays: frozenset[date] = frozenset(),
    precedence: Precedence = USUAL,
    spare_lateness: bool = True,
) -> Plan:
    """Plan all jobs from `now` (aware, in the shop's time zone) on.

    Without `spare_lateness` each job goes where its key says, which is much quicker for many jobs.
    Raises ValueError with one sentence where nobody works, or where steps wait for one another.
    """
    every = tuple(jobs)
    planning = Planning(
        every, people, now=now, holidays=holidays, precedence=precedence, spare_lateness=spare_lateness
    )
    planning.put_in(every)
    return planning.plan()


def not_known(job: JobToDo) -> Sentence | None:
    """Why nobody can say when a job goes on; None where it can be planned."""
    if job.waits_for:
        return Sentence(
            gettext("It waits for {}.").format(gettext(job.waits_for).replace("{", "{{").replace("}", "}}"))
        )
    if not job.parts_there and job.parts_on is None:
        return Sentence(gettext("Its parts are not there, and nobody has said when they come."))
    return None


def _release(job: JobToDo, now: datetime) -> int:
    """The time from which anything can be done on it."""
    release = _clock(now, now)
    if not job.parts_there and job.parts_on is not None:
        release = max(release, (job.parts_on - now.date()).days * DAY)
    if job.dry_at is not None:
        release = max(release, _clock(job.dry_at, now))
    return release


def _clock(moment: datetime, now: datetime) -> int:
    """Minutes on the wall since the midnight before `now`; a minute begun counts as over."""
    here = moment.astimezone(now.tzinfo)
    begun = 1 if here.second or here.microsecond else 0
    return (here.date() - now.date()).days * DAY + here.hour * 60 + here.minute + begun
