"""What one operation takes of a given size: bench time and materials, what is charged and what both cost."""

from decimal import Decimal
from typing import NamedTuple

from shoprepair.pricing.models import Material, Operation, OperationMaterial, PriceRules
from shoprepair.pricing.money import CENT, rounded
from shoprepair.pricing.proposals.measures import Measures

HOUR = Decimal(60)
TENTH = Decimal("0.1")
MILLIMETRE = Decimal("0.001")
SQUARE_CENTIMETRE = Decimal("0.0001")
_BASES = OperationMaterial.Basis


class Cost(NamedTuple):
    minutes: Decimal
    amount: Decimal
    """As it is charged."""
    own: Decimal
    """As it costs the shop."""


def cost(operation: Operation, size: Measures, rules: PriceRules) -> Cost:
    """By the catalogue at the shop's hourly rate, the materials with the waste of cutting them.

    Materials are charged at what they cost; what the shop earns lies in its hours.
    """
    stitched, area = _measured(size)
    minutes = (
        operation.set_up_minutes + operation.minutes_per_m * stitched + operation.minutes_per_m2 * area
    ).quantize(TENTH)
    materials = _materials(operation, size)
    charged, own = (of_time(minutes, rate) for rate in (rules.hourly_rate, rules.hour_cost))
    return Cost(minutes, rounded(charged + materials, CENT), rounded(own + materials, CENT))


def of_time(minutes: Decimal, rate: Decimal) -> Decimal:
    """Minutes at a rate by the hour, not rounded yet."""
    return minutes * rate / HOUR


def quantities(operation: Operation, size: Measures) -> list[tuple[Material, Decimal]]:
    """How much of each material it takes, in the material's unit, without what cutting throws away."""
    stitched, area = _measured(size)
    per = {_BASES.EACH: Decimal(1), _BASES.PER_M: stitched, _BASES.PER_M2: area}
    return [(use.material, use.quantity * per[_BASES(use.basis)]) for use in operation.materials.all()]


def _materials(operation: Operation, size: Measures) -> Decimal:
    return sum(
        (
            quantity * material.price * (1 + material.waste_percent / 100)
            for material, quantity in quantities(operation, size)
        ),
        Decimal(0),
    )


def _measured(size: Measures) -> tuple[Decimal, Decimal]:
    return _exact(size.stitched_m, MILLIMETRE), _exact(size.area_m2, SQUARE_CENTIMETRE)


def _exact(measure: float, step: Decimal) -> Decimal:
    return Decimal(str(measure)).quantize(step)
