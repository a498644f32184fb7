"""A shop of any size from a small one: its customers, gear and visits many times over, by the database.

What hangs on a customer, on gear or on a visit is copied with keys moved on, so that every copy is as whole
as its model. Patterns, people, the catalogue and the shelf stay one. The visits that are open are copied
fewer times than the closed ones, and what is closed is moved into years before the first: a shop's history
grows, its rack and its week hardly do. In copies beyond the first few, long words (an assessment, a cover's
record) are left out: they fill a disk and no list reads them.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from django.apps import apps
from django.db import connection, models, transaction

from shoprepair.cover.models import Claim
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Customer, Job, SearchWord
from shoprepair.pricing.models import Quote
from shoprepair.shop.models import Counter, JournalEntry
from shoprepair.shop.models_letters import Letter
from tests.measure import hurrying

Model = type[models.Model]

ROOTS: tuple[Model, ...] = (Customer, Inflatable, Job)
WHOLE_COPIES = 20
"""Copies that keep their long words."""
YEARS_OF_THE_MODEL = 6
_SUBJECTS = {"job": Job, "customer": Customer, "inflatable": Inflatable, "quote": Quote, "claim": Claim}


@dataclass(frozen=True)
class Plan:
    """How often everything is copied, and how often what belongs to an open visit."""

    times: int
    open_times: int
    customers: int = 0
    """How many customers there are to be at least; those beyond the copies never brought anything."""


def multiply(plan: Plan) -> None:
    """Copy all that hangs on customers, gear and visits `plan.times` times.

    The indexes are dropped before and made again after, which is many times faster.
    """
    hurrying.forget_safety()
    tables = list(copied_models())
    strides = {model: _stride(model) for model in tables}
    left_out = _of_open_visits(tables)
    more = plan.customers // Customer.objects.count()
    with transaction.atomic(), connection.cursor() as cursor:
        again = hurrying.set_aside(cursor, tables)
        for model in tables:
            times = plan.times if model not in (Customer, SearchWord) else max(plan.times, more)
            _copy(cursor, model, strides, replace(plan, times=times), left_out[model])
        for statement in again:
            cursor.execute(statement)
        for name in Counter.objects.values_list("name", flat=True):
            Counter.objects.filter(name=name).update(value=models.F("value") * (plan.times + 1))
    hurrying.take_statistics()
    connection.close()


def copied_models() -> Iterator[Model]:
    """Customer, Inflatable, Job and all that names one of them, whatever stands between; journal, letters."""
    inside: list[Model] = list(ROOTS)
    while more := [model for model in apps.get_models() if model not in inside and _names(model, inside)]:
        inside += more
    yield from inside
    yield from (JournalEntry, Letter)


def _names(model: Model, others: list[Model]) -> bool:
    return any(field.related_model in others for field in model._meta.local_fields if field.is_relation)


def _stride(model: Model) -> int:
    """By how much a key moves on from one copy to the next."""
    return (model.objects.order_by("-pk").values_list("pk", flat=True).first() or 0) + 1


def _copy(cursor, model: Model, strides: dict[Model, int], plan: Plan, left_out: set[int]) -> None:
    fields = [field for field in model._meta.local_fields if field.concrete]
    columns = ", ".join(f'"{field.column}"' for field in fields)
    values = ", ".join(_value(model, field, strides, plan) for field in fields)
    # What is cut is cut once, not in each of a thousand copies.
    originals = ", ".join(["*", *(_cut(field) for field in fields if _is_long(field))])
    table = model._meta.db_table
    cursor.execute("DROP TABLE IF EXISTS left_out")
    cursor.execute("CREATE TEMPORARY TABLE left_out (id bigint PRIMARY KEY)")
    if left_out:
        cursor.executemany("INSERT INTO left_out VALUES (%s)", [(key,) for key in left_out])
    cursor.execute(
        f'WITH models AS MATERIALIZED (SELECT {originals} FROM "{table}" '
        f'WHERE "{model._meta.pk.column}" < {strides[model]}) '
        f'INSERT INTO "{table}" ({columns}) SELECT {values} FROM ({_numbers(plan.times)}) AS k '
        f"CROSS JOIN {_for_each_number()} AS base "
        f"WHERE (n <= {plan.open_times} OR base.id NOT IN (SELECT id FROM left_out))"
        f"{_never_twice(model, strides)}"
    )
    if connection.vendor == "postgresql":
        key = f"pg_get_serial_sequence('\"{table}\"', 'id')"
        cursor.execute(f'SELECT setval({key}, (SELECT max(id) FROM "{table}"))')


def _for_each_number() -> str:
    """One whole copy after the other, in the order in which a shop's records come to be."""
    if connection.vendor == "postgresql":
        return "LATERAL (SELECT * FROM models WHERE n > 0 OFFSET 0)"
    return "models"


def _numbers(times: int) -> str:
    if connection.vendor == "postgresql":
        return f"SELECT generate_series(1, {times}) AS n"
    return (
        f"WITH RECURSIVE k(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM k WHERE n < {times}) SELECT n FROM k"
    )


def _value(model: Model, field: models.Field, strides: dict[Model, int], plan: Plan) -> str:
    """What stands in a copy's column: the same, or the same moved on."""
    column = f'base."{field.column}"'
    if field.primary_key:
        return f"{column} + n * {strides[model]}"
    if field.is_relation:
        stride = strides.get(field.related_model)
        return f"{column} + n * {stride}" if stride else column
    if (model, field.name) in {(JournalEntry, "subject"), (Letter, "about")}:
        return _moved_subject(column, strides)
    if field.name == "word":
        return _another_word(column)
    if field.name == "number" and field.unique:
        return f"{column} + n * {_stride_of_numbers(model)}"
    if isinstance(field, models.DateField):
        return f"CASE WHEN n <= {plan.open_times} THEN {column} ELSE {_years_before(column, field)} END"
    if _is_long(field):
        return f'CASE WHEN n <= {WHOLE_COPIES} THEN {column} ELSE base."short_{field.column}" END'
    if isinstance(field, models.CharField) and (field.unique or _alone_with_others(model, field)):
        return _another_text(column, field.max_length or 40)
    return column


def _alone_with_others(model: Model, field: models.Field) -> bool:
    """Whether the field alone makes a row the only one of its kind, under a condition."""
    constraints = (each for each in model._meta.constraints if isinstance(each, models.UniqueConstraint))
    return any(tuple(each.fields) == (field.name,) for each in constraints)


def _never_twice(model: Model, strides: dict[Model, int]) -> str:
    """Leaves out what there is once for somebody who is not copied, such as a clock that runs."""
    keys: list[int] = []
    for each in model._meta.constraints:
        if isinstance(each, models.UniqueConstraint) and each.condition:
            fields = [model._meta.get_field(name) for name in each.fields]
            if all(field.is_relation and field.related_model not in strides for field in fields):
                keys += model.objects.filter(each.condition).values_list("pk", flat=True)
    return f" AND base.id NOT IN ({', '.join(map(str, keys))})" if keys else ""


def _stride_of_numbers(model: Model) -> int:
    return (model.objects.order_by("-number").values_list("number", flat=True).first() or 0) + 1  # type: ignore[attr-defined]


def _years_before(column: str, field: models.DateField) -> str:
    """Some day in the thirty years before those of the model."""
    days = f"({YEARS_OF_THE_MODEL * 366} + n % {30 * 365})"
    if connection.vendor == "postgresql":
        return f"({column} - {days} * interval '1 day'){'' if _is_moment(field) else '::date'}"
    moved = f"{column}, '-' || {days} || ' days'"
    # The embedded database keeps a moment as text, to the microsecond where there is any.
    return (
        f"strftime('%Y-%m-%d %H:%M:%S', {moved}) || substr({column}, 20)"
        if _is_moment(field)
        else f"date({moved})"
    )


def _is_moment(field: models.DateField) -> bool:
    return isinstance(field, models.DateTimeField)


def _another_text(column: str, longest: int) -> str:
    last = "lpad(to_hex(n), 7, '0')" if connection.vendor == "postgresql" else "printf('%07x', n)"
    return f"CASE WHEN {column} = '' THEN '' ELSE substr({column}, 1, {longest - 7}) || {last} END"


def _another_word(column: str) -> str:
    """Digits become other digits; two names of three begin with another letter."""
    if connection.vendor == "postgresql":
        digits = f"{column} ~ '^[0-9]{{1,15}}$'"
        moved = f"right(repeat('0', 15) || ({column}::bigint + n * 9973)::text, length({column}))"
        letter = f"chr(97 + ((ascii({column}) + n) % 26)::int) || substr({column}, 2)"
    else:
        digits = f"{column} NOT GLOB '*[^0-9]*' AND length({column}) < 16"
        moved = f"substr('000000000000000' || (CAST({column} AS INTEGER) + n * 9973), -length({column}))"
        letter = f"char(97 + (unicode({column}) + n) % 26) || substr({column}, 2)"
    return f"CASE WHEN {digits} THEN {moved} WHEN n % 3 = 0 THEN {column} ELSE {letter} END"


def _moved_subject(column: str, strides: dict[Model, int]) -> str:
    """'job:412' names the copy of visit 412."""
    text = "text" if connection.vendor == "postgresql" else "TEXT"
    cases = "".join(
        f"WHEN {column} LIKE '{kind}:%' THEN '{kind}:' || "
        f"CAST(CAST(substr({column}, {len(kind) + 2}) AS bigint) + n * {strides[model]} AS {text}) "
        for kind, model in _SUBJECTS.items()
    )
    return f"CASE {cases}ELSE {column} END"


def _is_long(field: models.Field) -> bool:
    return isinstance(field, models.TextField | models.JSONField)


def _cut(field: models.Field) -> str:
    """A column beside it with what its later copies keep."""
    column = f'"{field.column}"'
    if isinstance(field, models.TextField):
        return f'substr({column}, 1, 80) AS "short_{field.column}"'
    empty = "'[]'" if field.get_default() == [] else "'{}'"
    as_text, a_type = ("::text", "::jsonb") if connection.vendor == "postgresql" else ("", "")
    return (
        f"CASE WHEN length({column}{as_text}) < 300 THEN {column} ELSE {empty}{a_type} END "
        f'AS "short_{field.column}"'
    )


def _of_open_visits(tables: list[Model]) -> dict[Model, set[int]]:
    """Keys of all that belongs to a visit which is still open, or names something that does."""
    found: dict[Model, set[int]] = {model: set() for model in tables}
    found[Job] = set(Job.objects.filter(is_open=True).values_list("pk", flat=True))
    subjects = [f"job:{key}" for key in found[Job]]
    open_quotes = _keys(Quote, job__in=found[Job])
    found[JournalEntry] = _keys(
        JournalEntry, subject__in=[*subjects, *(f"quote:{key}" for key in open_quotes)]
    )
    of_the_shop = JournalEntry.objects.exclude(subject__regex=rf"^({'|'.join(_SUBJECTS)}):")
    found[JournalEntry] |= set(of_the_shop.values_list("pk", flat=True))
    left = (Letter.State.SENT, Letter.State.CANCELLED)
    found[Letter] = _keys(Letter, about__in=subjects) | _keys(Letter, state__in=set(Letter.State) - set(left))
    grown = True
    while grown:
        grown = False
        for model, field in _references(tables):
            more = _keys(model, **{f"{field.name}__in": found[field.related_model]}) - found[model]
            found[model] |= more
            grown = grown or bool(more)
    return found


def _references(tables: list[Model]) -> list[tuple[Model, models.Field]]:
    return [
        (model, field)
        for model in tables
        for field in model._meta.local_fields
        if field.is_relation and field.related_model in tables
    ]


def _keys(model: Model, **which: object) -> set[int]:
    return set(model.objects.filter(**which).values_list("pk", flat=True))
