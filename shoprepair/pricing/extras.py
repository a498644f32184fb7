"""Lines that a person adds to a quote from the catalogue, priced as the catalogue prices them."""

from decimal import Decimal

from django.utils.translation import gettext

from shoprepair.pricing import typical
from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import Material, Operation, PriceRules, QuoteLine
from shoprepair.pricing.money import CENT, rounded

ONE = Decimal(1)


def of_operation(operation: Operation, rules: PriceRules, times: Decimal = ONE) -> Line:
    """An operation that belongs to no damage, at its typical size; `times` as often."""
    usual = typical.case(operation, rules)
    minutes = (usual.minutes * times).quantize(Decimal("0.1"))
    amount = rounded((usual.work + usual.materials) * times, CENT)
    return Line(
        kind=QuoteLine.Kind.EXTRA,
        text=operation.name
        if times == 1
        else gettext("%(name)s, %(times)s times") % {"name": operation.name, "times": _count(times)},
        detail=gettext("%(minutes)s min at its usual size") % {"minutes": _count(minutes)},
        operation_code=operation.code,
        minutes=minutes,
        cost=amount,
        amount=amount,
    )


def of_material(material: Material, quantity: Decimal = ONE) -> Line:
    """So much of a material, with the waste of cutting it."""
    amount = rounded(typical.with_waste(material) * quantity, CENT)
    unit = {Material.Unit.SQUARE_METRE: " m²", Material.Unit.METRE: " m"}.get(
        Material.Unit(material.unit), ""
    )
    said = f"{_count(quantity)}{unit}"
    return Line(
        kind=QuoteLine.Kind.PART,
        text=material.name if said == "1" else f"{material.name}, {said}",
        minutes=Decimal(0),
        cost=amount,
        amount=amount,
    )


def _count(number: Decimal) -> str:
    """2 for 2.000, 0.5 for 0.500."""
    return f"{number.normalize():f}"
