"""A job as the rack shows it, read as plain values.

What hangs on the rack changes seldom, so a page of it is put together of rows that were written before, each
known by all the values that it says. Records are made of the values only where a row has to be written anew.
"""

import datetime
import json
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import islice
from typing import Any, NamedTuple, TypeVar

from django.db import connection
from django.db.models import Field, Model, QuerySet, TextField
from django.db.models.expressions import Combinable
from django.db.models.functions import Cast

from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs import judging_anew, ownership
from shoprepair.jobs.models import Customer, Damage, Enquiry, Job, Stage

Record = TypeVar("Record", bound=Model)
Values = tuple[Any, ...]


class OfJob(NamedTuple):
    """Fields of a job; the tuples below are fields too, JSON as its text."""

    id: int
    number: int
    stage: str
    hold: str
    urgency: int
    rank: int
    band: str
    promised_on: datetime.date
    received_at: datetime.datetime


class OfCustomer(NamedTuple):
    id: int
    name: str


class OfInflatable(NamedTuple):
    id: int
    pattern_id: int


class OfPattern(NamedTuple):
    """All that its name and its drawing (`gear.describe.planform`) need."""

    id: int
    version: int
    name: str
    everyday: str
    kind: str
    support: str
    pumping: str
    span_m: float
    chord_centre_m: float
    chord_tip_m: float
    sweep_m: float
    rated_pressure_pa: float
    segments: int
    canopy_seams: str
    bridle_stations: str
    handle_shares: str

    @property
    def pk(self) -> int:
        """As `describe.Keyed`."""
        return self.id


class OfEnquiry(NamedTuple):
    """Only None where nobody asked about it from outside."""

    id: int | None
    comes: str
    sent_at: datetime.datetime
    came_at: datetime.datetime | None
    advice: str


class OfDamage(NamedTuple):
    """All but its assessment, which only a job sheet opens, and what nobody asks on the rack."""

    id: int
    number: int
    x_m: float
    y_m: float
    element: str
    station: float
    side: str
    strut: int | None
    fraction: float
    face: str
    kind: str
    length_m: float | None
    length_typed: str
    direction: str
    fold: str
    stitched_left_m: float | None
    under_kind: str
    urgency: int
    band: str
    reason: str
    model_version: str
    """Empty where it has no figures."""


class Line(NamedTuple):
    """One job with all that its row says but its damages; two that are equal read alike."""

    job: OfJob
    customer: OfCustomer
    inflatable: OfInflatable
    pattern: OfPattern
    enquiry: OfEnquiry
    now_of: str | None
    """Whose the gear is, where that is not the job's customer."""
    waits: bool
    """Whether it is still to be judged by the figures of today."""
    beside: Values
    """What a package above has read with it."""

    @property
    def is_away(self) -> bool:
        """As `expected.is_away`: asked about from outside, and not here yet."""
        asked = self.enquiry.id is not None and self.enquiry.came_at is None
        return asked and self.job.stage == Stage.ENQUIRY


_PARTS = (OfJob, OfCustomer, OfInflatable, OfPattern, OfEnquiry)


@cache
def all_jobs(beside: tuple[str, ...] = ()) -> QuerySet[Job, Values]:
    """Every job as `line` takes one, to be narrowed; what packages above know of it goes by its path."""
    jobs = Job.objects.annotate(now_of=ownership.now_of(), waits=judging_anew.waits())
    return jobs.values_list(
        *_columns(Job, OfJob),
        *_columns(Customer, OfCustomer, "customer__"),
        *_columns(Inflatable, OfInflatable, "inflatable__"),
        *_columns(Pattern, OfPattern, "inflatable__pattern__"),
        *_columns(Enquiry, OfEnquiry, "enquiry__"),
        "now_of",
        "waits",
        *beside,
    )


def line(row: Values) -> Line:
    """One row of `all_jobs`."""
    values = iter(row)
    parts: list[Any] = [part._make(islice(values, len(part._fields))) for part in _PARTS]
    return Line._make([*parts, next(values), next(values), tuple(values)])


def damages_of(lines: Iterable[Line]) -> dict[int, tuple[OfDamage, ...]]:
    """The live damages of each job by its key, the most dangerous first, all in one statement."""
    found: dict[int, list[OfDamage]] = {one.job.id: [] for one in lines}
    for key, *values in _live_damages().filter(job__in=list(found)) if found else ():
        found[key].append(OfDamage._make(values))
    return {key: tuple(damages) for key, damages in found.items()}


@cache
def _live_damages() -> QuerySet[Damage, Values]:
    live = Damage.objects.filter(removed_at=None).order_by("-urgency", "number")
    return live.values_list("job_id", *_columns(Damage, OfDamage))


def pattern(of: OfPattern) -> Pattern:
    """A line's pattern, with all that its name and its drawing need."""
    return _record(Pattern, of)


def job(of: Line, damages: Iterable[OfDamage] = ()) -> Job:
    """The job of a line, with its customer, its gear, its enquiry, `now_of` and its `live_damages`."""
    made = _record(Job, of.job)
    made.customer = _record(Customer, of.customer)
    made.inflatable = _record(Inflatable, of.inflatable)
    made.inflatable.pattern = pattern(of.pattern)
    asked = None if of.enquiry.id is None else _record(Enquiry, of.enquiry)
    made._state.fields_cache["enquiry"] = asked
    made.now_of = of.now_of  # type: ignore[attr-defined]
    made.live_damages = [_damage(each, made) for each in damages]  # type: ignore[attr-defined]
    return made


def _damage(values: OfDamage, of: Job) -> Damage:
    damage = _record(Damage, values)
    damage.job = of
    return damage


def _record(kind: type[Record], values: Any) -> Record:
    """A record of which these fields were read, as Django makes one of a row."""
    read = values._asdict()
    names = [each.attname for each in kind._meta.concrete_fields if each.attname in read]
    return kind.from_db(
        connection.alias,
        names,
        [json.loads(read[name] or "null") if _is_json(kind, name) else read[name] for name in names],
    )


def _columns(kind: type[Model], fields: Any, path: str = "") -> Sequence[str | Combinable]:
    """Each as it is asked for; JSON is only read where a record is made of it."""
    return [
        Cast(f"{path}{name}", TextField()) if _is_json(kind, name) else f"{path}{name}"
        for name in fields._fields
    ]


@cache
def _is_json(kind: type[Model], name: str) -> bool:
    found: Field[Any, Any] = next(each for each in kind._meta.concrete_fields if each.attname == name)
    return found.get_internal_type() == "JSONField"
