"""When a job will be ready: a likely and a late date, with the reason; and which promises will not be kept.

Both come from the plan of all jobs: the likely one from minutes and dates as they stand, the late one from
work that takes longer and parts that come later, as far as the shop has found that they do.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from math import ceil

from django.utils.translation import gettext, ngettext

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.mechanics.domain import need
from shoprepair.work.dispatch import Plan, Planned, not_known, plan
from shoprepair.work.people import Person
from shoprepair.work.saying import day, days, moment
from shoprepair.work.tasks import USUAL, JobToDo, Precedence, StepToDo


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
    reasons: tuple[Sentence, ...]
    """Everything that puts it off by a day or more, the longest first; then its own work."""


class Standing(StrEnum):
    IN_TIME = "in time"
    AT_RISK = "at risk"
    LATE = "late"
    UNKNOWN = "not known"


@dataclass(frozen=True, kw_only=True, slots=True)
class Outlook:
    """How a job stands against what was promised."""

    job: int
    promised_on: date
    standing: Standing
    sentence: Sentence
    likely_on: date | None = None
    late_on: date | None = None
    days_late: int = 0
    """Of the likely date, after the promised one."""
    days_left: int = 0
    """Until the promised date; below zero once it is past."""


def promise(job: JobToDo, others: Iterable[JobToDo], shop: Shop) -> Promised:
    """The date range for one job among all others, which may be agreed or still asked about.

    Never before its parts or its drying, never on a closed day. Raises ValueError with one sentence for a
    job that waits for something without a date.
    """
    unknown = not_known(job)
    need(unknown is None, unknown.text if unknown else "")
    jobs = [other for other in others if other.number != job.number]
    made = _made([*jobs, job], shop)
    likely = _ready_on(made, job.number, shop)
    assert likely is not None  # nothing unknown, so it is planned
    late = _ready_on(_made(delayed([*jobs, job], shop.delays), shop), job.number, shop)
    put_off = _put_off(job, jobs, made, likely, shop)
    reasons = (*(sentence for _, sentence in put_off), _own_work(job))
    return Promised(
        job=job.number,
        likely_on=likely,
        late_on=max(likely, late or likely),
        reason=reasons[0],
        reasons=reasons,
    )


def outlook(jobs: Iterable[JobToDo], shop: Shop) -> tuple[Outlook, ...]:
    """Every job against its promise: those that will be late first, the longest first."""
    every = list(jobs)
    made = _made(every, shop)
    late = _made(delayed(every, shop.delays), shop)
    found = [_outlook(job, made, late, shop) for job in every]
    return tuple(sorted(found, key=lambda one: (_WORST_FIRST.index(one.standing), -one.days_late, one.job)))


_WORST_FIRST = (Standing.LATE, Standing.AT_RISK, Standing.UNKNOWN, Standing.IN_TIME)


def _made(jobs: Iterable[JobToDo], shop: Shop) -> Plan:
    return plan(jobs, shop.people, now=shop.now, holidays=shop.holidays, precedence=shop.precedence)


def _ready_on(made: Plan, number: int, shop: Shop) -> date | None:
    planned = made.of(number)
    return ready_on(planned, shop) if planned else None


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


def _put_off(
    job: JobToDo, others: Sequence[JobToDo], made: Plan, likely: date, shop: Shop
) -> list[tuple[int, Sentence]]:
    """By how many days each cause puts it off, found by planning without that cause."""

    def without(changed: JobToDo, jobs: Sequence[JobToDo] = others, in_shop: Shop = shop) -> int:
        ready = _ready_on(_made([*jobs, changed], in_shop), job.number, in_shop)
        return (likely - ready).days if ready else 0

    causes: list[tuple[int, Sentence]] = []
    if not job.parts_there and job.parts_on is not None:
        said = Sentence(gettext("Its parts are expected on %(parts_on)s.") % {"parts_on": day(job.parts_on)})
        causes.append((without(replace(job, parts_there=True)), said))
    if job.dry_at is not None:
        said = Sentence(
            gettext("It is not dry before %(moment)s.")
            % {"moment": moment(job.dry_at.astimezone(shop.now.tzinfo))}
        )
        causes.append((without(replace(job, dry_at=None)), said))
    if others:
        causes.append((without(job, jobs=()), _ahead(job, others, made)))
    if any(step.wait_minutes for step in job.steps):
        causes.append((without(replace(job, steps=tuple(map(_at_once, job.steps)))), _curing(job)))
    everybody = tuple(replace(person, away=frozenset()) for person in shop.people)
    always = replace(shop, people=everybody, holidays=frozenset())
    if always != shop:
        causes.append(
            (without(job, in_shop=always), Sentence(gettext("Holidays and absences come before it.")))
        )
    return sorted((cause for cause in causes if cause[0] > 0), key=lambda cause: -cause[0])


def _at_once(step: StepToDo) -> StepToDo:
    return replace(step, wait_minutes=0)


def _ahead(job: JobToDo, others: Sequence[JobToDo], made: Plan) -> Sentence:
    minutes = {other.number: other.minutes for other in others}
    order = [planned.job for planned in made.planned]
    ahead = [number for number in order[: order.index(job.number)] if number in minutes]
    text = ngettext(
        "%(n)s job is worked before it, {time} at the bench.",
        "%(n)s jobs are worked before it, {time} at the bench.",
        len(ahead),
    )
    return Sentence(
        text % {"n": len(ahead)},
        {"time": Quantity(60.0 * sum(minutes[number] for number in ahead), "s")},
    )


def _curing(job: JobToDo) -> Sentence:
    minutes = sum(step.wait_minutes for step in job.steps)
    return Sentence(gettext("It dries and cures for {time}."), {"time": Quantity(60.0 * minutes, "s")})


def _own_work(job: JobToDo) -> Sentence:
    return Sentence(gettext("It takes {time} at the bench."), {"time": Quantity(60.0 * job.minutes, "s")})


def _outlook(job: JobToDo, made: Plan, delayed: Plan, shop: Shop) -> Outlook:
    left = (job.promised_on - shop.now.date()).days
    likely = _ready_on(made, job.number, shop)
    if likely is None:
        why = not_known(job) or Sentence(gettext("It is not planned."))
        return Outlook(
            job=job.number,
            promised_on=job.promised_on,
            standing=Standing.UNKNOWN,
            sentence=why,
            days_left=left,
        )
    late = max(likely, _ready_on(delayed, job.number, shop) or likely)
    standing = _standing(job.promised_on, likely, late)
    return Outlook(
        job=job.number,
        promised_on=job.promised_on,
        standing=standing,
        sentence=Sentence(_against(job.promised_on, standing, likely, late)),
        likely_on=likely,
        late_on=late,
        days_late=max(0, (likely - job.promised_on).days),
        days_left=left,
    )


def _standing(promised: date, likely: date, late: date) -> Standing:
    if likely > promised:
        return Standing.LATE
    return Standing.AT_RISK if late > promised else Standing.IN_TIME


def _against(promised: date, standing: Standing, likely: date, late: date) -> str:
    if standing is Standing.LATE:
        after = days((likely - promised).days)
        return gettext("Late: promised for %(promised)s, likely ready on %(likely)s, %(after)s after.") % {
            "promised": day(promised),
            "likely": day(likely),
            "after": after,
        }
    if standing is Standing.AT_RISK:
        return gettext(
            "At risk: promised for %(promised)s, likely ready on %(likely)s, but maybe %(late)s."
        ) % {"promised": day(promised), "likely": day(likely), "late": day(late)}
    return gettext("In time: promised for %(promised)s, likely ready on %(likely)s.") % {
        "promised": day(promised),
        "likely": day(likely),
    }
