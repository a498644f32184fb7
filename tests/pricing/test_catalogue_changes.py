"""What the owner changes in the catalogue, and what stays as it is."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shoprepair.gear import library
from shoprepair.pricing import catalogue, learning
from shoprepair.pricing.catalogue_changes import (
    NameTaken,
    Use,
    add_material,
    add_operation,
    change_material,
    change_operation,
    take_measured,
    uses_of,
)
from shoprepair.pricing.models import Material, Operation
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.changes import ChangedMeanwhile, newest
from tests.factories import JobFactory

OWN = {
    "name": "Sew a leash loop",
    "area": "attachment",
    "steps": ["Mark the place.", "Sew the loop."],
    "set_up_minutes": Decimal(10),
    "minutes_per_m": Decimal(12),
    "minutes_per_m2": Decimal(0),
    "needs_opening": False,
    "bladder_out": False,
    "needs_hold_test": False,
    "drying_hours": Decimal(0),
    "cover_terms": "Covered for the life of the gear.",
    "cover_months": None,
}


@pytest.fixture
def tape(db: None) -> Operation:
    library.load()
    catalogue.load()
    return Operation.objects.get(code="canopy-tape")


def test_a_change_stands_in_the_journal_from_what_to_what(tape, owner):
    found = change_operation(tape, who=owner, version=1, set_up_minutes=Decimal("12.5"))
    tape.refresh_from_db()
    [entry] = journal.entries(tape)
    assert found == {"set_up_minutes": [Decimal("9.0"), Decimal("12.5")]}
    assert (tape.set_up_minutes, tape.version) == (Decimal("12.5"), 2)
    assert (entry.who, entry.changes) == (owner, {"set_up_minutes": ["9.0", "12.5"]})


def test_what_is_no_change_leaves_no_trace(tape, owner):
    assert change_operation(tape, who=owner, version=1, uses=uses_of(tape), name=tape.name) == {}
    tape.refresh_from_db()
    assert tape.version == 1
    assert not journal.entries(tape).exists()


def test_of_two_who_change_one_operation_the_second_is_told_what_the_first_did(tape, owner):
    change_operation(tape, who=owner, version=1, set_up_minutes=Decimal(12))
    with pytest.raises(Stale, match="Tape a small canopy tear was changed") as refused:
        change_operation(tape, who=owner, version=1, set_up_minutes=Decimal(15))
    assert refused.value.record.set_up_minutes == 12
    tape.refresh_from_db()
    assert tape.set_up_minutes == 12


def test_other_materials_are_written_as_they_read(tape, owner):
    hose = Material.objects.get(code="hose")
    change_operation(tape, who=owner, version=1, uses=[Use(hose, "each", Decimal("0.250"))])
    [entry] = journal.entries(tape)
    assert [str(use) for use in uses_of(tape)] == [f"{hose}: 0.25 m each time"]
    assert entry.changes["materials"][1] == [f"{hose}: 0.25 m each time"]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("set_up_minutes", Decimal(-1)),
        ("minutes_per_m", Decimal(601)),
        ("drying_hours", Decimal(721)),
        ("steps", []),
        ("steps", ["One more."] * 13),
        ("cover_terms", "  "),
        ("cover_months", -3),
        ("name", " "),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(tape, owner, field, value):
    with pytest.raises(ValidationError) as refused:
        change_operation(tape, who=owner, version=1, **{field: value})
    assert set(refused.value.message_dict) == {field}


@pytest.mark.parametrize("quantity", ["0", "-1", "1001"])
def test_a_quantity_is_more_than_nought(tape, owner, quantity):
    with pytest.raises(ValidationError, match="A quantity is more than nought"):
        change_operation(
            tape, who=owner, version=1, uses=[Use(Material.objects.first(), "each", Decimal(quantity))]
        )


def test_an_operation_is_switched_off_and_on_again_and_never_gone(tape, owner):
    change_operation(tape, who=owner, version=1, active=False)
    change_operation(tape, who=owner, version=2, active=True)
    said = [entry.text for entry in journal.entries(tape)]
    assert said == [f"{tape} was switched on.", f"{tape} was switched off."]


def test_an_own_operation_gets_a_code_that_no_other_has(tape, owner):
    first = add_operation(who=owner, **OWN)
    second = add_operation(who=owner, **OWN | {"name": "Sew a leash loop!"})
    foreign = add_operation(who=owner, **OWN | {"name": "帆の修理"})
    assert [first.code, second.code, foreign.code] == ["sew-a-leash-loop", "sew-a-leash-loop-2", "own"]


def test_two_operations_never_have_one_name(tape, owner):
    with pytest.raises(NameTaken, match="The catalogue has “tape a small canopy tear” already"):
        add_operation(who=owner, **OWN | {"name": "tape a small canopy tear"})
    other = add_operation(who=owner, **OWN)
    with pytest.raises(NameTaken):
        change_operation(other, who=owner, version=1, name=tape.name)


def test_measured_minutes_are_taken_once_there_are_enough(tape, owner):
    job = JobFactory()
    for _ in range(learning.ENOUGH - 1):
        learning.measured(job, tape, Decimal(10), Decimal(15))
    with pytest.raises(ValueError, match="too few"):
        take_measured(tape, who=owner, version=1)
    learning.measured(job, tape, Decimal(10), Decimal(15))
    take_measured(tape, who=owner, version=1)
    tape.refresh_from_db()
    assert (tape.set_up_minutes, tape.minutes_per_m2, tape.minutes_per_m) == (Decimal("13.5"), 90, 0)


def test_a_materials_price_changes_and_its_old_one_is_kept(tape, owner):
    hose = Material.objects.get(code="hose")
    change_material(hose, who=owner, seen=newest(hose), price=Decimal("11.00"))
    [entry] = journal.entries(hose)
    assert entry.changes == {"price": ["9.00", "11.00"]}
    with pytest.raises(ChangedMeanwhile):
        change_material(hose, who=owner, seen=0, price=Decimal("12.00"))


def test_the_unit_of_a_material_in_use_stays(tape, owner):
    hose = Material.objects.get(code="hose")
    with pytest.raises(ValidationError, match="add another material"):
        change_material(hose, who=owner, seen=0, unit="piece")
    own = add_material(
        who=owner, name="Leash loop", unit="m", price=Decimal(2), waste_percent=Decimal(0), active=True
    )
    change_material(own, who=owner, seen=newest(own), unit="piece")
    own.refresh_from_db()
    assert (own.unit, own.code) == ("piece", "leash-loop")


@pytest.mark.parametrize(
    ("field", "value"),
    [("price", Decimal(-1)), ("waste_percent", Decimal(101)), ("waste_percent", Decimal(-1)), ("name", "")],
)
def test_what_no_material_can_be_is_refused(tape, owner, field, value):
    with pytest.raises(ValidationError) as refused:
        change_material(Material.objects.get(code="hose"), who=owner, seen=0, **{field: value})
    assert set(refused.value.message_dict) == {field}


def test_nothing_else_of_an_operation_is_changed_here(tape, owner):
    with pytest.raises(TypeError, match="Not to be changed here: code"):
        change_operation(tape, who=owner, version=1, code="other")


def test_two_materials_are_not_called_the_same(tape, owner):
    hose, other = Material.objects.order_by("pk")[:2]
    with pytest.raises(NameTaken):
        change_material(hose, who=owner, seen=newest(hose), name=other.name.upper())
