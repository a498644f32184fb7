"""The owner's changes to the catalogue: an operation's steps and minutes, a material's price.

A change counts from the next draft on: what a quote says of minutes and prices is kept with the quote.
Nothing is taken away that a repair may rest on; what is done with is switched off.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils.text import slugify

from shoprepair.pricing import learning, step_codes
from shoprepair.pricing.models import Material, Operation, OperationMaterial
from shoprepair.pricing.money import MOST
from shoprepair.pricing.stale import Stale
from shoprepair.shop import changes, journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

MINUTES = {"set_up_minutes": 2400, "minutes_per_m": 600, "minutes_per_m2": 6000}
"""The most that each may be: a week of set-up, ten hours for a metre."""
MOST_HOURS = 720
MOST_MONTHS = 600
MOST_STEPS = 12
MOST_QUANTITY = Decimal(1000)
SWITCHES = ("needs_opening", "bladder_out", "needs_hold_test")
COVER = ("cover_terms", "cover_months", "cover_passes_on")
CHANGEABLE = (*MINUTES, *SWITCHES, "name", "area", "steps", "drying_hours", *COVER)
OF_MATERIALS = ("name", "unit", "price", "waste_percent", "active")


class NameTaken(ValueError):
    """The catalogue has an operation or material of this name."""

    def __init__(self, name: str) -> None:
        super().__init__(
            gettext("The catalogue has “%(name)s” already. Choose another name.") % {"name": name}
        )


@dataclass(frozen=True, slots=True)
class Use:
    """How much of a material an operation uses: each time, per metre of stitching or per m² of patch."""

    material: Material
    basis: str
    quantity: Decimal

    def __str__(self) -> str:
        basis = OperationMaterial.Basis(self.basis).label
        return f"{self.material}: {self.quantity.normalize():f} {unit_of(self.material)} {basis}"


def unit_of(material: Material) -> str:
    """The unit as it stands behind a figure."""
    return {"m2": "m²", "m": "m"}.get(material.unit, "pc")


def uses_of(operation: Operation) -> list[Use]:
    """What the operation uses up now."""
    rows = operation.materials.select_related("material").order_by("pk")
    return [Use(row.material, row.basis, row.quantity) for row in rows]


@transaction.atomic
def add_operation(*, who: Staff, uses: Sequence[Use] = (), **fields: Any) -> Operation:
    """A new operation of the catalogue. Raises NameTaken, and ValidationError with a sentence per field."""
    _check_operation(fields, uses)
    _refuse_taken(Operation, fields["name"])
    operation = Operation.objects.create(code=_free_code(fields["name"]), **fields)
    _write_uses(operation, uses)
    journal.record(
        operation,
        "operation.added",
        gettext("%(operation)s was added to the catalogue.") % {"operation": operation},
        who=who,
    )
    return operation


@transaction.atomic
def change_operation(
    operation: Operation,
    *,
    who: Staff,
    version: int,
    uses: Sequence[Use] | None = None,
    does: Sequence[str] | None = None,
    **fields: Any,
) -> dict[str, list[Any]]:
    """Change an operation; answers what changed, each [before, after].

    `version` is the one the person saw. `does` says what each step does, where that is known: else a step
    keeps what the line did that it was. Raises Stale when somebody changed it since, NameTaken, and
    ValidationError with a sentence per field.
    """
    if unknown := set(fields) - {*CHANGEABLE, "active"}:
        raise TypeError(f"Not to be changed here: {', '.join(sorted(unknown))}.")
    _check_operation(fields, uses or ())
    held = Operation.objects.select_for_update().get(pk=operation.pk)
    if held.version != version:
        raise Stale(f"“{held}”", held, _meanwhile(held, version))
    if "name" in fields:
        _refuse_taken(Operation, fields["name"], held)
    found = journal.differences({name: getattr(held, name) for name in fields}, fields)
    before = uses_of(held)
    if uses is not None and list(uses) != before:
        found["materials"] = [[str(use) for use in before], [str(use) for use in uses]]
        _write_uses(held, uses)
    if found:
        changed = {name: fields[name] for name in found if name in fields}
        if "steps" in changed:
            carried = step_codes.carried(changed["steps"], held.steps, held.step_codes)
            changed["step_codes"] = carried if does is None else list(does)
        Operation.objects.filter(pk=held.pk).update(version=F("version") + 1, **changed)
        journal.record(held, "operation.changed", _said(held, found), who=who, changes=found)
    return found


def _said(operation: Operation, found: dict[str, list[Any]]) -> str:
    if set(found) == {"active"}:
        if found["active"][1]:
            return gettext("%(operation)s was switched on.") % {"operation": operation}
        return gettext("%(operation)s was switched off.") % {"operation": operation}
    return gettext("%(operation)s was changed.") % {"operation": operation}


def take_measured(operation: Operation, *, who: Staff, version: int) -> dict[str, list[Any]]:
    """Let the catalogue say what the bench needs: the minutes that the measurements suggest.

    Raises ValueError with a sentence while there are too few of them, and Stale.
    """
    learned = learning.learned(operation)
    if learned.suggested_minutes is None:
        raise ValueError(learned.sentence)
    return change_operation(
        operation,
        who=who,
        version=version,
        set_up_minutes=learned.suggested_minutes,
        minutes_per_m=learned.suggested_per_m,
        minutes_per_m2=learned.suggested_per_m2,
    )


@transaction.atomic
def add_material(*, who: Staff, **fields: Any) -> Material:
    """A new material. Raises NameTaken, and ValidationError with a sentence per field."""
    _check_material(fields)
    _refuse_taken(Material, fields["name"])
    material = Material.objects.create(code=_free_code(fields["name"], Material), **fields)
    journal.record(
        material, "material.added", gettext("%(material)s was added.") % {"material": material}, who=who
    )
    return material


@transaction.atomic
def change_material(material: Material, *, who: Staff, seen: int, **fields: Any) -> dict[str, list[Any]]:
    """Change a material; `seen` as in shop.changes. Raises ChangedMeanwhile, NameTaken, ValidationError.

    The unit of a material in use stays: its quantities would mean something else.
    """
    _check_material(fields)
    if "name" in fields:
        _refuse_taken(Material, fields["name"], material)
    if fields.get("unit", material.unit) != material.unit and material.uses.exists():
        raise ValidationError(
            {"unit": gettext("Operations use it by this unit; add another material instead.")}
        )
    return changes.change(
        material,
        "material.changed",
        gettext("%(material)s was changed.") % {"material": material},
        who=who,
        seen=seen,
        fields=fields,
    )


def _meanwhile(operation: Operation, version: int) -> list[str]:
    entries = journal.entries(operation)[: max(operation.version - version, 0)]
    return [f"{entry.who_name}: {journal.words(entry)}" for entry in entries]


def _write_uses(operation: Operation, uses: Iterable[Use]) -> None:
    operation.materials.all().delete()
    OperationMaterial.objects.bulk_create(
        OperationMaterial(operation=operation, material=use.material, basis=use.basis, quantity=use.quantity)
        for use in uses
    )


def _refuse_taken(kind: Any, name: str, own: Operation | Material | None = None) -> None:
    if kind.objects.filter(name__iexact=name).exclude(pk=own.pk if own else 0).exists():
        raise NameTaken(name)


def _free_code(name: str, kind: Any = Operation) -> str:
    """A code that no row has, from the name."""
    plain = slugify(name)[:40] or "own"
    taken = set(kind.objects.filter(code__startswith=plain).values_list("code", flat=True))
    tries = (plain, *(f"{plain}-{number}" for number in range(2, len(taken) + 3)))
    return next(code for code in tries if code not in taken)


def _check_operation(fields: dict[str, Any], uses: Sequence[Use]) -> None:
    problems = dict(_operation_problems(fields))
    if not all(0 < use.quantity <= MOST_QUANTITY for use in uses):
        problems["materials"] = gettext("A quantity is more than nought and at most %(MOST_QUANTITY)s.") % {
            "MOST_QUANTITY": MOST_QUANTITY
        }
    if problems:
        raise ValidationError(problems)


def _operation_problems(fields: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for name, most in (*MINUTES.items(), ("drying_hours", MOST_HOURS)):
        if name in fields and not 0 <= fields[name] <= most:
            yield name, gettext("Write a figure between 0 and %(most)s.") % {"most": most}
    if "name" in fields and not fields["name"].strip():
        yield "name", gettext("Give the operation a name.")
    if "steps" in fields and not 1 <= len(fields["steps"]) <= MOST_STEPS:
        yield (
            "steps",
            gettext("Write what is done in 1 to %(MOST_STEPS)s steps, one a line.")
            % {"MOST_STEPS": MOST_STEPS},
        )
    if "cover_terms" in fields and not fields["cover_terms"].strip():
        yield "cover_terms", gettext("Say what is covered, or that nothing is.")
    months = fields.get("cover_months")
    if months is not None and not 0 <= months <= MOST_MONTHS:
        yield (
            "cover_months",
            gettext("Write months between 0 and %(MOST_MONTHS)s, or nothing for the gear's life.")
            % {"MOST_MONTHS": MOST_MONTHS},
        )


def _check_material(fields: dict[str, Any]) -> None:
    problems = {}
    if "name" in fields and not fields["name"].strip():
        problems["name"] = gettext("Give the material a name.")
    if "price" in fields and not 0 <= fields["price"] <= MOST:
        problems["price"] = gettext("An amount of money is nought or more.")
    if "waste_percent" in fields and not 0 <= fields["waste_percent"] <= 100:
        problems["waste_percent"] = gettext("A percentage lies between 0 and 100.")
    if problems:
        raise ValidationError(problems)
