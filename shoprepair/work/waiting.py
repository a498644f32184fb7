"""Open jobs as the forecast takes them: agreed ones by their steps, others by what they should take."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from math import ceil
from statistics import median

from django.db.models import Prefetch, Q, QuerySet, prefetch_related_objects
from django.utils import timezone

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.mechanics.description import Band, Quantity, Sentence
from shoprepair.mechanics.words import gettext_noop
from shoprepair.pricing import rules as price_rules
from shoprepair.pricing import typical
from shoprepair.pricing.models import Operation, Quote, QuoteLine
from shoprepair.shop.languages import gettext_lazy
from shoprepair.work import rules, to_do
from shoprepair.work.people import NINE
from shoprepair.work.tasks import JobToDo, StepToDo

ASKED = (Stage.CHECKED_IN, Stage.ASSESSED, Stage.QUOTE_OUT)
"""In the shop, and no customer has agreed yet."""
TEST_MINUTES = 15
"""To pump up, read twice and write it down [assumed]."""
DRY_DAYS = 1
"""Wet gear is dry on the next day, when the bench work begins [assumed]."""
TEST = gettext_lazy("hold test")
_ESTIMATED = gettext_noop("Its work is estimated: the usual minutes for {damages}.")


@dataclass(frozen=True, slots=True)
class Work:
    """What a job is reckoned to take."""

    minutes: int
    """At the bench."""
    wait_minutes: int
    """Drying and curing."""
    tested: bool
    """Whether it has to hold air at the end."""
    said: Sentence
    """How it was reckoned."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A job whose work is reckoned, not agreed, with how."""

    job: JobToDo
    said: Sentence


class Usual:
    """What the catalogue says of work that nobody has quoted, looked up once."""

    @cached_property
    def _operations(self) -> list[Operation]:
        return list(Operation.objects.filter(active=True))

    @cached_property
    def _each(self) -> tuple[float, float]:
        """Minutes and hours of drying of a typical operation, the middle one of the catalogue."""
        rows = self._operations
        if not rows:
            return 60.0, 0.0
        return float(median(map(_typical_minutes, rows))), float(median(row.drying_hours for row in rows))

    @cached_property
    def _opening(self) -> float:
        return float(typical.opening_minutes(price_rules.current(), typical.SEWN.opening_m))

    @cached_property
    def test_wait(self) -> int:
        """Minutes between the first and the last reading of a hold test."""
        return rules.current().least_minutes

    def work(self, damages: int) -> Work:
        """One typical operation for each damage, and one opening for all."""
        count = max(1, damages)
        minutes, hours = self._each
        return Work(
            minutes=ceil(count * minutes + self._opening),
            wait_minutes=ceil(hours * 60),
            tested=True,
            said=Sentence(_ESTIMATED, {"damages": Quantity(count, "damage")}),
        )


def _typical_minutes(row: Operation) -> Decimal:
    size = typical.size_of(row)
    sewn = Decimal(row.minutes_per_m) * size.stitching_m + Decimal(row.minutes_per_m2) * size.patch_m2
    return Decimal(row.set_up_minutes) + sewn


def agreed(now: datetime.datetime, most: int, usual: Usual) -> list[JobToDo]:
    """The jobs at work, from the go-ahead to the hold test, the first promised first."""
    working = list(to_do.in_work().order_by("promised_on", "id")[:most])
    # Steps say more than the lines of a quote; only where there are none the lines are asked for.
    stepless = [quote for job in working if not job.to_do_steps for quote in job.to_do_quotes]  # type: ignore[attr-defined]
    prefetch_related_objects(stepless, "lines")
    tested = _open(Stage.HOLD_TEST)[:most]
    return [
        *(_at_work(job, now, usual) for job in working),
        *(_under_test(job, now, usual) for job in tested),
    ]


def asked(now: datetime.datetime, most: int, usual: Usual) -> list[Asked]:
    """The jobs in the shop that no customer has agreed yet, the first promised first."""
    return [asked_one(job, now, usual) for job in _open(*ASKED)[:most]]


def of_job(job: Job, now: datetime.datetime, usual: Usual) -> Asked:
    """One job that may not have come in yet, as `asked` has it."""
    return asked_one(_open(*Stage).get(pk=job.pk), now, usual)


def asked_one(job: Job, now: datetime.datetime, usual: Usual) -> Asked:
    """A job of `_open`, by its quote, else by its damages."""
    work = _quoted(job) or usual.work(job.damage_count)
    todo = replace(_plain(job, now), steps=steps(work, usual))
    return Asked(todo, work.said)


def _at_work(job: Job, now: datetime.datetime, usual: Usual) -> JobToDo:
    todo = _drying_ends(to_do.job_to_do(job, now), job, now)
    made = job.to_do_steps  # type: ignore[attr-defined]
    if not made:
        quotes = job.to_do_quotes  # type: ignore[attr-defined]
        minutes = sum(line.minutes for quote in quotes for line in quote.lines.all() if line.taken)
        work = Work(ceil(minutes), 0, tested=True, said=Sentence(""))
        return replace(todo, steps=steps(work, usual))
    tested = any(step.repair and step.repair.operation.needs_hold_test for step in made)
    return replace(todo, steps=_with_test(todo.steps, usual)) if tested else todo


def _under_test(job: Job, now: datetime.datetime, usual: Usual) -> JobToDo:
    return replace(_plain(job, now), steps=_with_test((), usual))


def _plain(job: Job, now: datetime.datetime) -> JobToDo:
    """A job of `_open` without its work."""
    parts = getattr(job, "expected_parts", None)
    waits = job.hold == Hold.PARTS
    todo = JobToDo(
        number=job.number,
        band=Band(job.band),
        urgency=job.urgency,
        promised_on=job.promised_on,
        joined_at=job.received_at,
        steps=(),
        parts_there=not waits,
        parts_on=parts.day if parts and waits else None,
        waits_for="the customer" if job.hold == Hold.CUSTOMER else "",
    )
    return _drying_ends(todo, job, now)


def _drying_ends(todo: JobToDo, job: Job, now: datetime.datetime) -> JobToDo:
    """Gear that dries is not waited for without end: it is dry soon."""
    if job.hold != Hold.DRYING:
        return todo
    here = timezone.localtime(now)
    midnight = here.replace(hour=0, minute=0, second=0, microsecond=0)
    dry = midnight + datetime.timedelta(days=DRY_DAYS, minutes=NINE)
    return replace(todo, waits_for="", dry_at=max(dry, todo.dry_at or dry))


def steps(work: Work, usual: Usual) -> tuple[StepToDo, ...]:
    """What is reckoned of a job's work as steps, with the hold test that it needs."""
    made = (StepToDo(name="the work", minutes=work.minutes, wait_minutes=work.wait_minutes),)
    return _with_test(made, usual) if work.tested else made


def _with_test(steps: Sequence[StepToDo], usual: Usual) -> tuple[StepToDo, ...]:
    test = StepToDo(
        name=TEST,
        minutes=TEST_MINUTES,
        after=tuple(step.name for step in steps),
        wait_minutes=usual.test_wait,
    )
    return *steps, test


def _quoted(job: Job) -> Work | None:
    """By the quote that is out, else by the draft; None where there is neither, or it has no minutes."""
    quotes: list[Quote] = job.to_do_quotes  # type: ignore[attr-defined]
    quote = next((q for q in quotes if q.state == Quote.State.OUT), next(iter(quotes), None))
    lines = _advised(quote.lines.all()) if quote else []
    minutes = ceil(sum(line.minutes for line in lines))
    if not minutes:
        return None
    done = [line.repair.operation for line in lines if line.repair]
    return Work(
        minutes=minutes,
        wait_minutes=ceil(max((each.drying_hours for each in done), default=Decimal(0)) * 60),
        tested=not done or any(each.needs_hold_test for each in done),
        said=Sentence(gettext_noop("Its work is as quoted, not agreed yet.")),
    )


def _advised(lines: Iterable[QuoteLine]) -> list[QuoteLine]:
    """What the customer takes unless they say otherwise."""
    return [line for line in lines if line.taken]


def _open(*stages: Stage) -> "QuerySet[Job]":
    written = Quote.objects.filter(Q(state=Quote.State.OUT) | Q(state=Quote.State.DRAFT)).order_by("-number")
    return (
        Job.objects.filter(is_open=True, stage__in=stages)
        .select_related("expected_parts")
        .prefetch_related(
            Prefetch(
                "quotes",
                written.prefetch_related(
                    Prefetch("lines", QuoteLine.objects.select_related("repair__operation"))
                ),
                to_attr="to_do_quotes",
            )
        )
        .order_by("promised_on", "id")
    )
