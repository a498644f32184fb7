"""What a quote holds besides the repairs: operations of the usual size, and things by the piece or metre."""

from decimal import Decimal

import pytest

from shoprepair.gear import library
from shoprepair.pricing import catalogue, extras, rules, typical
from shoprepair.pricing.models import Material, Operation

pytestmark = pytest.mark.django_db


def thread(unit: Material.Unit) -> Material:
    return Material(name="Thread", unit=unit, price=Decimal("2.00"), waste_percent=Decimal(25))


def test_an_operation_costs_its_work_and_its_materials_at_the_usual_size() -> None:
    library.load()
    catalogue.load()
    operation = Operation.objects.get(code="casing-patch-small")
    usual = typical.case(operation, rules.current())
    once = extras.of_operation(operation, rules.current())
    assert (once.kind, once.text, once.detail) == ("extra", operation.name, "28 min at its usual size")
    assert once.amount == once.cost == Decimal("34.93") == usual.work + usual.materials
    thrice = extras.of_operation(operation, rules.current(), Decimal("2.50"))
    assert (thrice.text, thrice.minutes) == (f"{operation.name}, 2.5 times", Decimal("70.0"))
    assert (thrice.amount, thrice.operation_code) == (Decimal("87.33"), "casing-patch-small")


@pytest.mark.parametrize(
    ("unit", "quantity", "text", "amount"),
    [
        (Material.Unit.PIECE, "1", "Thread", "2.50"),
        (Material.Unit.PIECE, "3.000", "Thread, 3", "7.50"),
        (Material.Unit.METRE, "1", "Thread, 1 m", "2.50"),
        (Material.Unit.METRE, "0.500", "Thread, 0.5 m", "1.25"),
        (Material.Unit.SQUARE_METRE, "2", "Thread, 2 m²", "5.00"),
    ],
)
def test_a_material_costs_what_is_used_and_what_its_cutting_wastes(
    unit: Material.Unit, quantity: str, text: str, amount: str
) -> None:
    line = extras.of_material(thread(unit), Decimal(quantity))
    assert (line.kind, line.text, line.minutes) == ("part", text, 0)
    assert line.amount == line.cost == Decimal(amount)
