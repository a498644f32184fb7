"""The rack: open jobs, most dangerous first, then by promise, at one cost with ten and a hundred thousand."""

import datetime
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from django.db.models import BooleanField, Count, DateField, Exists, F, Func, OuterRef, Q, QuerySet, Value

from shoprepair.jobs import search
from shoprepair.jobs.expected import AWAY
from shoprepair.jobs.lines import Line, all_jobs, line
from shoprepair.jobs.models import Damage, Hold, Job, Ownership, Stage
from shoprepair.jobs.stages import CLOSED
from shoprepair.mechanics.description import Band

PAGE_SIZE = 50
_NO_RANK = 100
"""Where a job stands without urgency."""
ORDER = ("rank", "promised_on", "id")
ANY_HOLD = "any"
NOT_JUDGED = "not-judged"
"""Stands among the bands for jobs without any figures: they are kept as Watch, which nobody has found."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page of the rack; `lines.damages_of` reads what is wrong with its jobs."""

    lines: list[Line]
    after: str
    """What to pass as `after` for the page that follows; empty on the last."""

    def __iter__(self) -> Iterator[Line]:
        return iter(self.lines)

    def __len__(self) -> int:
        return len(self.lines)


@dataclass(frozen=True, slots=True)
class Counts:
    """How many open jobs there are of each stage, band and hold; among the bands, of those not judged."""

    stages: dict[str, int] = field(default_factory=dict)
    bands: dict[str, int] = field(default_factory=dict)
    holds: dict[str, int] = field(default_factory=dict)

    @property
    def total(self) -> int:
        return sum(self.stages.values())


class _Row(Func):
    template = "(%(expressions)s)"
    output_field = BooleanField()


class _RowAfter(Func):
    """One comparison of whole rows: what both databases can seek in an index, where an OR they cannot."""

    template = "%(expressions)s"
    arg_joiner = " > "
    output_field = BooleanField()


def rack(
    stage: str | None = None,
    band: str | None = None,
    hold: str | None = None,
    text: str = "",
    after: str | None = None,
    size: int = PAGE_SIZE,
    *,
    also: Q | None = None,
    beside: tuple[str, ...] = (),
) -> Page:
    """One page of the open jobs, or of those of one closed stage.

    `band` is a band or `NOT_JUDGED`; `hold` is a hold or "any"; `text` finds jobs as the search does;
    `after` is a page's own word for where the next one begins, and anything else in its place begins at the
    top. What packages above know of a job they narrow by in `also`, and name in `beside` what is to be read
    with each row.
    """
    jobs = _narrowed(all_jobs(beside), stage, band, hold, text, also)
    if position := _position(after):
        jobs = jobs.filter(position)
    rows = [line(row) for row in _in_order(jobs)[: size + 1]]
    more = len(rows) > size
    return Page(rows[:size], _cursor(rows[size - 1]) if more else "")


def away_and_newest(
    band: str | None = None,
    hold: str | None = None,
    text: str = "",
    *,
    away: bool,
    newest: int,
    beside: tuple[str, ...] = (),
) -> tuple[list[Line], list[Line]]:
    """What is not here yet, if it is asked for, in the rack's order; and the newest jobs of what is here.

    Both in one statement, which is none where neither is asked for. No job is in both.
    """
    wanted = []
    if away:
        first = _in_order(_narrowed(Job.objects.all(), None, band, hold, text, AWAY))[:PAGE_SIZE]
        wanted.append(first.values("pk"))
    if newest:
        wanted.append(_newest_first()[:newest])
    if not wanted:
        return [], []
    # One list of keys: a server that is asked for one or the other reads all jobs there ever were.
    keys = [Job.objects.filter(pk__in=some).order_by().values("pk") for some in wanted]
    found = sorted(map(line, all_jobs(beside).filter(pk__in=keys[0].union(*keys[1:], all=True))), key=_place)
    here = sorted((one for one in found if not one.is_away), key=lambda one: -one.job.id)
    return [one for one in found if one.is_away], here


@cache
def _newest_first() -> QuerySet[Job, Any]:
    return Job.objects.exclude(AWAY).order_by("-id").values("pk")


def _narrowed(
    jobs: QuerySet[Job, Any], stage: str | None, band: str | None, hold: str | None, text: str, also: Q | None
) -> QuerySet[Job, Any]:
    jobs = jobs.filter(is_open=stage not in CLOSED)
    if also is not None:
        jobs = jobs.filter(also)
    if stage:
        jobs = jobs.filter(stage=stage)
    if band == NOT_JUDGED:
        jobs = _not_judged(jobs)
    elif band:
        jobs = jobs.filter(band=band)
    if band == Band.WATCH:
        jobs = jobs.filter(Q(rank__lt=_NO_RANK) | Exists(_judged()))
    if hold:
        jobs = jobs.exclude(hold=Hold.NONE) if hold == ANY_HOLD else jobs.filter(hold=hold)
    if text.strip():
        jobs = jobs.filter(_matching(text))
    return jobs


def counts(stage: str | None = None, band: str | None = None, hold: str | None = None) -> Counts:
    """Open jobs by stage, band and hold, from one statement.

    Each is counted among the jobs that the other two let through, so that a count says what
    choosing it would show.
    """
    found = Counts(dict.fromkeys(open_stages(), 0), dict.fromkeys([*map(str, Band), NOT_JUDGED], 0), {})
    holds: Counter[str] = Counter()
    for its_stage, its_band, its_hold, n in _counted():
        of_stage = not stage or its_stage == stage
        of_band = not band or its_band == band
        of_hold = not hold or its_hold == hold or (hold == ANY_HOLD and its_hold)
        found.stages[its_stage] += n if of_band and of_hold else 0
        found.bands[its_band] += n if of_stage and of_hold else 0
        holds[its_hold] += n if of_stage and of_band else 0
    found.holds.update({hold: holds[hold] for hold in Hold.values if hold})
    return found


def _counted() -> Iterator[tuple[str, str, str, int]]:
    """Stage, band and hold with how many open jobs have them; no band counts those not judged."""
    jobs = Job.objects.filter(is_open=True).order_by()
    of_each = jobs.values_list("stage", "band", "hold").annotate(n=Count("*"))
    unjudged = _not_judged(jobs).values_list("stage", Value(NOT_JUDGED), "hold").annotate(n=Count("*"))
    for stage, band, hold, n in of_each.union(unjudged, all=True):
        yield stage, band, hold, n
        if band == NOT_JUDGED:
            yield stage, str(Band.WATCH), hold, -n


def _not_judged(jobs: QuerySet[Job, Any]) -> QuerySet[Job, Any]:
    """Those of which no damage has figures: found among the last of one band."""
    return jobs.filter(~Exists(_judged()), band=Band.WATCH, rank=_NO_RANK)


def _judged() -> QuerySet[Damage]:
    return Damage.objects.filter(job=OuterRef("pk"), removed_at=None).exclude(model_version="")


def open_stages() -> list[str]:
    """The stages of a job that is still in hand, in their order."""
    return [stage.value for stage in Stage if stage not in CLOSED]


def _in_order(jobs: QuerySet[Job, Any]) -> QuerySet[Job, Any]:
    return jobs.order_by(*ORDER)


def _matching(text: str) -> Q:
    found = search.customers_matching(text)
    # Gear that passed on during its visit is found by whose it is now, too.
    theirs = Ownership.objects.filter(until=None, customer__in=found).values("inflatable")
    customers = Q(customer__in=found) | Q(inflatable__in=theirs)
    number = text.strip().lstrip("#")
    if number.isascii() and number.isdigit() and len(number) <= 9:
        return customers | Q(number=int(number))
    return customers


def _place(of: Line) -> tuple[int, datetime.date, int]:
    return of.job.rank, of.job.promised_on, of.job.id


def _cursor(last: Line) -> str:
    rank, promised_on, key = _place(last)
    return f"{rank}.{promised_on.isoformat()}.{key}"


def _position(after: str | None) -> _RowAfter | None:
    try:
        rank, promised_on, key = (after or "").split(".")
        values = (
            Value(int(rank)),
            Value(datetime.date.fromisoformat(promised_on), DateField()),
            Value(int(key)),
        )
    except ValueError:
        return None
    return _RowAfter(_Row(*map(F, ORDER)), _Row(*values))
