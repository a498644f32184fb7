"""Who does which job when: a plan that a new job can only push back.

A job is worked by one person from its first step to its last; a step, once begun, is not left for another.
The jobs have an order: those begun come first, then by promise less the head start that danger gives
(`tasks.key`). Each takes, step by step, the earliest minutes that the jobs before it leave free, at the
bench where it is ready first. Drying, curing and missing parts leave room, which jobs after it may fill.
Where a new job makes any late, it and its neighbours change places as long as that spares lateness,
weighted by danger.

**Adding a job never makes another earlier.** List scheduling alone does not keep this (Graham 1969, SIAM
J. Appl. Math. 17(2) 416: more work may end sooner): a job pushed back leaves the room that it had, and a
later one could slip into it. So jobs are put in one by one, in the order in which they joined. When one is
put in, the others either keep their places to the minute or are placed again; and one placed again may
begin no step before it began, and end none before it ended, in the plan without the new job. `_place` looks
at no earlier minute, whoever works it, and every arrangement that is tried is made of such places.

The plan of n + 1 jobs is the plan of the first n with one more put in; so, for every plan, adding the job
that joins last makes no step of any other job begin or end earlier. That holds whatever its danger, parts
or curing. There is no chance in it and ties are broken by number: the same jobs give the same plan.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from math import inf

from shoprepair.mechanics.description import Sentence
from shoprepair.mechanics.domain import need
from shoprepair.work.bench import Bench
from shoprepair.work.people import DAY, Hours, Person, check_people
from shoprepair.work.tasks import USUAL, JobToDo, Precedence, check_jobs, key

LOOK = 6
"""How many places up and down the order a new job may go to spare lateness."""
NEAR = 3
"""How far up and down from its place its neighbours may be swapped."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stretch:
    """A stretch of one day that one person works on one step."""

    job: int
    step: str
    person: str
    begins_at: datetime
    ends_at: datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class Planned:
    """When one job is worked."""

    job: int
    person: str
    stretches: tuple[Stretch, ...]
    begins_at: datetime
    ready_at: datetime
    """Everything done, dry and cured."""


@dataclass(frozen=True, kw_only=True, slots=True)
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
        return next((job for job in self.planned if job.job == number), None)


@dataclass(frozen=True, slots=True)
class _Placed:
    """A job at one bench: for each step the first and the next bench minute and the times by the clock."""

    bench: int
    minutes: tuple[tuple[int, int], ...]
    times: tuple[tuple[int, int], ...]
    ready: int


@dataclass(frozen=True, slots=True)
class _Draft:
    """A plan in the making: the jobs in order, where each is placed, and what lateness it costs."""

    order: tuple[JobToDo, ...] = ()
    placed: Mapping[int, _Placed] = field(default_factory=dict)
    cost: int = 0


@dataclass(frozen=True, slots=True)
class _Shop:
    """What stays the same while jobs are put in."""

    hours: tuple[Hours, ...]
    names: tuple[str, ...]
    now: datetime
    precedence: Precedence
    spare_lateness: bool


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

    Without `spare_lateness` each job stays where its key says, which is much quicker for many jobs.
    Raises ValueError with one sentence where nobody works, or where steps wait for one another.
    """
    need(now.utcoffset() is not None, "The time from which to plan must say its time zone.")
    check_people(tuple(people))
    working = [person for person in people if person.works]
    shop = _Shop(
        hours=tuple(Hours(person, now.date(), holidays) for person in working),
        names=tuple(person.name for person in working),
        now=now,
        precedence=precedence,
        spare_lateness=spare_lateness,
    )
    every = check_jobs(jobs)
    why = {job.number: not_known(job) for job in every}
    draft = _Draft()
    for job in sorted(every, key=lambda job: (job.joined_at, job.number)):
        if why[job.number] is None:
            draft = _put_in(job, draft, shop)
    return Plan(
        planned=tuple(_planned(job, draft.placed[job.number], shop) for job in draft.order),
        unplanned=tuple((number, reason) for number, reason in sorted(why.items()) if reason is not None),
    )


def not_known(job: JobToDo) -> Sentence | None:
    """Why nobody can say when a job goes on; None where it can be planned."""
    if job.waits_for:
        return Sentence("It waits for {}.".format(job.waits_for.replace("{", "{{").replace("}", "}}")))
    if not job.parts_there and job.parts_on is None:
        return Sentence("Its parts are not there, and nobody has said when they come.")
    return None


def _put_in(new: JobToDo, before: _Draft, shop: _Shop) -> _Draft:
    """The plan with one more job in it: where its key says, or as near by as less comes late."""
    wanted = _by_key(new, before.order, shop.precedence)
    best = _arranged(_inserted(new, wanted, before), wanted, before, before, shop)
    assert best is not None  # nothing to be better than
    if not shop.spare_lateness or best.cost <= before.cost:
        return best
    begun = sum(bool(job.taken_by) for job in before.order)
    low, high = (0, begun) if new.taken_by else (begun, len(before.order))
    for at in range(max(low, wanted - LOOK), min(high, wanted + LOOK) + 1):
        order = _inserted(new, at, before)
        best = _arranged(order, at, before, before, shop, below=best.cost) or best
    at = best.order.index(new)
    return _swapped(best, before, range(max(low, at - NEAR), min(high, at + NEAR)), shop)


def _swapped(best: _Draft, before: _Draft, places: range, shop: _Shop) -> _Draft:
    """The same with neighbours in the order swapped, as long as that spares lateness."""
    worse = None
    while worse is not best:
        worse = best
        for at in places:
            one, other = best.order[at : at + 2]
            order = (*best.order[:at], other, one, *best.order[at + 2 :])
            best = _arranged(order, at, best, before, shop, below=best.cost) or best
    return best


def _by_key(new: JobToDo, order: Sequence[JobToDo], precedence: Precedence) -> int:
    own = key(new, precedence)
    return next((at for at, job in enumerate(order) if key(job, precedence) > own), len(order))


def _inserted(new: JobToDo, at: int, draft: _Draft) -> tuple[JobToDo, ...]:
    return *draft.order[:at], new, *draft.order[at:]


def _arranged(
    order: tuple[JobToDo, ...],
    kept: int,
    like: _Draft,
    before: _Draft,
    shop: _Shop,
    below: float = inf,
) -> _Draft | None:
    """The plan in a new order whose first jobs stay as they are in `like`; the others are placed again.

    None of these comes earlier than in `before`. None unless the lateness stays below.
    """
    benches = [Bench(each) for each in shop.hours]
    placed: dict[int, _Placed] = {}
    cost = 0
    for at, job in enumerate(order):
        floor = before.placed.get(job.number)
        place = like.placed[job.number] if at < kept else _best_place(job, benches, shop, floor)
        for start, end in place.minutes:
            benches[place.bench].take(start, end - start)
        placed[job.number] = place
        cost += _lateness(job, place, shop)
        if cost >= below:
            return None
    return _Draft(order, placed, cost)


def _lateness(job: JobToDo, place: _Placed, shop: _Shop) -> int:
    """Minutes past the end of the promised day, weighted by danger."""
    due = ((job.promised_on - shop.now.date()).days + 1) * DAY
    return shop.precedence.weight[job.band] * max(0, place.ready - due)


def _best_place(job: JobToDo, benches: Sequence[Bench], shop: _Shop, old: _Placed | None) -> _Placed:
    """At the bench where it is ready first; whoever has begun it goes on with it."""
    begun = job.taken_by in shop.names
    fit = [shop.names.index(job.taken_by)] if begun else range(len(benches))
    release = _release(job, shop.now)
    places = (_place(job, number, benches[number], release, old) for number in fit)
    return min(places, key=lambda place: (place.ready, place.times, place.bench))


def _place(job: JobToDo, number: int, bench: Bench, release: int, old: _Placed | None) -> _Placed:
    trial, hours = bench.copy(), bench.hours
    done: dict[str, int] = {}
    minutes, times = [], []
    for at, step in enumerate(job.steps):
        earliest = hours.at(max([release, *(done[name] for name in step.after)]))
        if old:
            began, ended = old.times[at]
            earliest = max(earliest, hours.at(began), hours.done_by(ended) - step.minutes)
        start = trial.free_from(earliest, step.minutes)
        trial.take(start, step.minutes)
        minutes.append((start, start + step.minutes))
        begins = hours.begins(start)
        times.append((begins, hours.begins(start + step.minutes - 1) + 1 if step.minutes else begins))
        done[step.name] = times[-1][1] + step.wait_minutes
    return _Placed(number, tuple(minutes), tuple(times), max(done.values(), default=release))


def _release(job: JobToDo, now: datetime) -> int:
    """The time from which anything can be done on it."""
    times = [_clock(now, now)]
    if not job.parts_there and job.parts_on is not None:
        times.append((job.parts_on - now.date()).days * DAY)
    if job.dry_at is not None:
        times.append(_clock(job.dry_at, now))
    return max(times)


def _clock(moment: datetime, now: datetime) -> int:
    """Minutes on the wall since the midnight before `now`; a minute begun counts as over."""
    here = moment.astimezone(now.tzinfo)
    begun = 1 if here.second or here.microsecond else 0
    return (here.date() - now.date()).days * DAY + here.hour * 60 + here.minute + begun


def _planned(job: JobToDo, place: _Placed, shop: _Shop) -> Planned:
    midnight = shop.now.replace(hour=0, minute=0, second=0, microsecond=0)
    person = shop.names[place.bench]
    stretches = tuple(
        Stretch(
            job=job.number,
            step=step.name,
            person=person,
            begins_at=midnight + timedelta(minutes=begins),
            ends_at=midnight + timedelta(minutes=ends),
        )
        for step, (start, end) in zip(job.steps, place.minutes, strict=True)
        for begins, ends in shop.hours[place.bench].pieces(start, end)
    )
    ready_at = midnight + timedelta(minutes=place.ready)
    begins_at = min((stretch.begins_at for stretch in stretches), default=ready_at)
    return Planned(job=job.number, person=person, stretches=stretches, begins_at=begins_at, ready_at=ready_at)
