"""What an operation costs in a typical case: an example that moves with the owner's figures.

The sizes are common practice, no source. A quote is made from the lay-up of its damage instead.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from decimal import Decimal

from shoprepair.pricing.catalogue_changes import Use, uses_of
from shoprepair.pricing.models import Material, Operation, OperationMaterial, PriceRules
from shoprepair.pricing.money import CENT, rounded, step_for

HOUR = Decimal(60)
TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Size:
    """Metres of stitching over all rows, m² of patch over all plies, metres of closing seam opened."""

    stitching_m: Decimal
    patch_m2: Decimal
    opening_m: Decimal = Decimal("0.15")


def _size(stitching: str, patch: str = "0", opening: str = "0.15") -> Size:
    return Size(Decimal(stitching), Decimal(patch), Decimal(opening))


SIZES = {
    "casing-patch-small": _size("0.6", "0.01"),
    "casing-patch": _size("1.6", "0.08"),
    "casing-panel": _size("2.8", "0.3"),
    "casing-scuff-ply": _size("1.1", "0.02"),
    "le-burst-rebuild": _size("4.5", "0.5", "0.3"),
    "strut-burst-rebuild": _size("3", "0.3", "0.3"),
    "bladder-patch": _size("0", "0.006"),
    "bladder-replace-le": _size("0", "0", "0.3"),
    "bladder-replace-strut": _size("0", "0", "0.3"),
    "canopy-tape": _size("0", "0.03"),
    "canopy-panel": _size("6", "0.55"),
    "stretch-patch-peel": _size("0", "0.01"),
    "stretch-patch-cut-out": _size("6.5", "0.6"),
    "window-tape": _size("0", "0.03"),
    "window-replace": _size("4", "0.4"),
    "trailing-edge-resew": _size("0.6"),
    "trailing-edge-rebuild": _size("0.7", "0.02"),
    "strut-end-rebuild": _size("1.2", "0.05"),
    "closing-zip-replace": _size("1.2"),
}
SEWN = _size("0.35")
SIZES_BY_AREA = {
    Operation.Area.CASING: _size("1.6", "0.08"),
    Operation.Area.CANOPY: _size("1", "0.012"),
    Operation.Area.WINDOW: _size("2", "0.2"),
    Operation.Area.ATTACHMENT: _size("0.4", "0.01"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Typical:
    """A typical case: its size, what it takes and what it costs without tax, to the shop's rounding."""

    size: Size
    """As far as anything hangs on it: no stitching where neither minutes nor materials grow with it."""
    minutes: Decimal
    opening_minutes: Decimal
    work: Decimal
    materials: Decimal
    opening: Decimal
    price: Decimal
    is_minimum: bool


def size_of(operation: Operation) -> Size:
    """The size of a typical case, by the operation or by its area."""
    return SIZES.get(operation.code) or SIZES_BY_AREA.get(Operation.Area(operation.area), SEWN)


def case(
    operation: Operation, rules: PriceRules, uses: Iterable[Use] | None = None, *, currency: str = "USD"
) -> Typical:
    """An operation's typical case by these rules. Neither needs to be saved when `uses` are given."""
    size = size_of(operation)
    minutes = (
        operation.set_up_minutes
        + operation.minutes_per_m * size.stitching_m
        + operation.minutes_per_m2 * size.patch_m2
    ).quantize(TENTH)
    access_minutes = opening_minutes(rules, size.opening_m) if operation.needs_opening else Decimal(0)
    step = step_for(rules.rounding, currency)
    used = list(_uses(operation, uses))
    materials = sum((_cost(use, size) for use in used), Decimal(0))
    work, access = (rules.hourly_rate * each / HOUR for each in (minutes, access_minutes))
    repair, access = rounded(work + materials, step), rounded(access, step)
    return Typical(
        size=_what_counts(size, operation, {use.basis for use in used}),
        minutes=minutes,
        opening_minutes=access_minutes,
        work=work.quantize(CENT),
        materials=materials.quantize(CENT),
        opening=access,
        price=max(repair + access, rounded(rules.minimum_charge, step)),
        is_minimum=repair + access < rules.minimum_charge,
    )


def _what_counts(size: Size, operation: Operation, bases: Collection[str]) -> Size:
    sewn = operation.minutes_per_m or OperationMaterial.Basis.PER_M in bases
    patched = operation.minutes_per_m2 or OperationMaterial.Basis.PER_M2 in bases
    nothing = Decimal(0)
    return Size(size.stitching_m if sewn else nothing, size.patch_m2 if patched else nothing, size.opening_m)


def opening_minutes(rules: PriceRules, length_m: Decimal) -> Decimal:
    """Bench time of one opening of the closing seam, and never a shorter one than the rules allow."""
    length = max(length_m, Decimal(str(rules.opening_least_m)))
    return Decimal(rules.opening_fixed_minutes + rules.opening_minutes_per_m * length)


def _uses(operation: Operation, given: Iterable[Use] | None) -> Iterable[Use]:
    if given is not None:
        return given
    if hasattr(operation, "_prefetched_objects_cache"):
        return [Use(row.material, row.basis, row.quantity) for row in operation.materials.all()]
    return uses_of(operation)


def _cost(use: Use, size: Size) -> Decimal:
    of = {
        OperationMaterial.Basis.EACH: Decimal(1),
        OperationMaterial.Basis.PER_M: size.stitching_m,
        OperationMaterial.Basis.PER_M2: size.patch_m2,
    }
    return use.quantity * of[OperationMaterial.Basis(use.basis)] * with_waste(use.material)


def with_waste(material: Material) -> Decimal:
    """What a unit costs with the waste of cutting it."""
    return Decimal(material.price * (1 + material.waste_percent / 100))
