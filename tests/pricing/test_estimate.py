from decimal import Decimal

import pytest

from shoprepair.pricing import estimate, proposals, rules
from shoprepair.pricing.models import Material, Operation, OperationMaterial
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, one, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    stocked()
    return a_job()


@pytest.fixture
def price(db):
    found = rules.current()
    found.hourly_rate = Decimal("72.00")
    return found


def operation(code, **facts):
    """An operation of the catalogue with figures of its own and no materials."""
    found = Operation.objects.get(code=code)
    found.materials.all().delete()
    Operation.objects.filter(pk=found.pk).update(**facts)
    return found


def uses(of, basis, quantity, price, waste=Decimal("0")):
    material = Material.objects.create(
        code=f"m{Material.objects.count()}", name="cloth", unit="m2", price=price, waste_percent=waste
    )
    OperationMaterial.objects.create(operation=of, material=material, basis=basis, quantity=quantity)


def small_patch(job):
    """60 by 95 mm, two rows, a ply on each side: 0.62 m of stitching, 0.0114 m² of cloth."""
    damage = on_the_edge(job, 0.1, "cut", mm=35, direction="around", through_bladder="no")
    return one(proposals.propose(damage), "casing-patch-small")


def test_minutes_are_set_up_stitching_and_patch(job, price):
    operation("casing-patch-small", set_up_minutes=10, minutes_per_m=10, minutes_per_m2=100)
    line = estimate.line_for(small_patch(job), price)
    assert line.minutes == Decimal("17.3")  # 10 + 10 x 0.62 + 100 x 0.0114 = 17.34, to a tenth
    assert line.amount == line.cost == Decimal("20.76")  # 17.3 min at 72 an hour


def test_an_hour_costs_the_shop_less_than_it_charges_and_materials_cost_what_is_charged(job, price):
    price.hour_cost_percent = Decimal(50)
    own = operation("casing-patch-small", set_up_minutes=10, minutes_per_m=10, minutes_per_m2=100)
    uses(own, "each", 1, Decimal("5.00"))

    line = estimate.line_for(small_patch(job), price)

    assert line.amount == Decimal("25.76")  # 17.3 min at 72 an hour, and the part
    assert line.cost == Decimal("15.38")  # the same minutes at 36, and the part


def test_reaching_a_damage_costs_the_shop_its_hours_too(job, price):
    price.hour_cost_percent = Decimal(50)
    small_patch(job)

    opened = estimate.access_lines(job, price)

    assert opened
    assert all(line.cost == line.amount / 2 for line in opened)


def test_materials_are_charged_by_their_basis_with_their_waste(job, price):
    own = operation("casing-patch-small", set_up_minutes=0, minutes_per_m=0, minutes_per_m2=0)
    uses(own, "each", 2, Decimal("1.00"))
    uses(own, "per-m", Decimal("2.5"), Decimal("0.40"))
    uses(own, "per-m2", 1, Decimal("30.00"), waste=Decimal("15"))
    line = estimate.line_for(small_patch(job), price)
    # 2 x 1.00 + 2.5 x 0.62 x 0.40 + 0.0114 x 30 x 1.15 = 2 + 0.62 + 0.3933
    assert line.amount == Decimal("3.01")


def test_half_a_cent_is_rounded_up(job, price):
    own = operation("casing-patch-small", set_up_minutes=0, minutes_per_m=0, minutes_per_m2=0)
    uses(own, "each", Decimal("0.5"), Decimal("0.25"))
    assert estimate.line_for(small_patch(job), price).amount == Decimal("0.13")


def test_a_line_says_how_its_amount_comes_about(job, price):
    repair = small_patch(job)
    line = estimate.line_for(repair, price)
    assert (line.kind, line.repair_id, line.damages) == ("repair", repair.pk, (1,))
    assert line.text.endswith(", damage 1")
    assert line.detail == f"{line.minutes:.0f} min, 0.62 m of stitching, 0.01 m² of casing cloth"


def test_alternatives_share_a_choice_and_the_advised_one_is_taken(job, price):
    damage = on_the_canopy(job, 0.5, "tear", mm=90)
    proposals.propose(damage)
    lines = estimate.lines_for(job, price)
    assert [(line.operation_code, line.taken) for line in lines] == [
        ("canopy-tape", True),
        ("canopy-patch-sewn", False),
    ]
    assert lines[0].choice == lines[1].choice != ""


def test_two_damages_never_share_a_choice(job, price):
    on_the_canopy(job, 0.5, "tear", mm=90)
    on_the_canopy(job, 0.6, "tear", mm=90)
    proposals.propose_job(job)
    lines = estimate.lines_for(job, price)
    assert len({line.choice for line in lines}) == 2
    assert all(len(line.choice) <= 40 for line in lines)


def test_shared_access_is_charged_once_and_says_so(job, price):
    on_the_edge(job, 0.25, "cut", mm=35, through_bladder="no")
    on_the_edge(job, 0.35, "hole", mm=20, through_bladder="no")
    proposals.propose_job(job)
    (access,) = [line for line in estimate.lines_for(job, price) if line.kind == "access"]
    assert access.damages == (1, 2)
    assert (access.minutes, access.amount) == (Decimal("24.0"), Decimal("28.80"))
    assert access.detail == (
        "Charged once for all of them: 24 min for 150 mm of closing seam, bladder drawn and put back"
    )
    assert access.text.endswith(" for damages 1 and 2")


def test_what_is_only_offered_counts_the_opening_that_nothing_else_needs(job, price):
    """The ply over a sound scuff: nobody opens the tube for it unless the customer wants it."""
    on_the_edge(job, 0.3, "scuff", mm=60, fold="stays round")
    proposals.propose_job(job)
    (ply,) = estimate.lines_for(job, price)
    assert (ply.taken, ply.optional) == (False, True)
    assert ply.detail.endswith("24 min for an opening of its own")
    assert ply.cost == ply.amount
    alone = estimate.line_for(proposals.repairs_of_job(job)[0], price)
    assert (ply.minutes - alone.minutes, ply.amount - alone.amount) == (Decimal("24.0"), Decimal("28.80"))


def test_optional_work_says_so(job, price):
    on_the_edge(job, 0.5, "burst")
    proposals.propose_job(job)
    (mirror,) = [
        line for line in estimate.lines_for(job, price) if line.operation_code == "mirror-place-check"
    ]
    assert mirror.optional


def test_parts_are_named_beside_the_minutes(job, price):
    damage = on_the_edge(job, 0.5, "burst")
    bladder = estimate.line_for(one(proposals.propose(damage), "bladder-replace-le"), price)
    assert "1 × " in bladder.detail


def test_the_trades_proportions_hold(job, price):
    """common practice, no source: a burst costs several times a small cut, a canopy tape job the least."""
    on_the_edge(job, 0.1, "cut", mm=30, through_bladder="no")
    on_the_edge(job, 0.5, "burst", side="left")
    on_the_canopy(job, 0.5, "tear", mm=60)
    proposals.propose_job(job)
    lines = [line for line in estimate.lines_for(job, price) if line.taken]
    cut, burst, tape = (sum(line.amount for line in lines if line.damages == (n,)) for n in (1, 2, 3))
    assert tape < cut < burst / 3


def test_pricing_asks_as_often_for_many_damages_as_for_one(job, price, django_assert_max_num_queries):
    for station in (0.1, 0.3, 0.5, 0.7):
        on_the_edge(job, station, "cut", mm=35)
    proposals.propose_job(job)
    with django_assert_max_num_queries(5):
        estimate.lines_for(job, price)


def test_an_opening_for_one_damage_is_shared_with_none_and_says_when_the_bladder_comes_out(job, price):
    Operation.objects.filter(code="casing-patch-small").update(bladder_out=False)
    on_the_edge(job, 0.25, "cut", mm=35, through_bladder="no")
    on_the_edge(job, 0.25, "burst", side="left")
    proposals.propose_job(job)
    details = {line.damages: line.detail for line in estimate.lines_for(job, price) if line.kind == "access"}
    assert details[(1,)] == "24 min for 150 mm of closing seam"
    assert details[(2,)].startswith("24 min for ")
    assert details[(2,)].endswith(" of closing seam, bladder drawn and put back")


def test_a_draft_is_made_of_the_repairs_that_are_shown(job, price):
    on_the_edge(job, 0.1, "cut", mm=35, through_bladder="no")
    on_the_canopy(job, 0.5, "tear", mm=90)
    first, *_ = repairs = proposals.propose_job(job) or proposals.repairs_of_job(job)
    shown = [line.repair_id for line in estimate.lines_for(job, price, [first]) if line.kind == "repair"]
    assert shown == [first.pk] != [each.pk for each in repairs]


def test_what_a_repair_takes_off_the_shelf_is_counted_without_its_waste(job, price):
    own = operation("casing-patch-small", set_up_minutes=0, minutes_per_m=0, minutes_per_m2=0)
    uses(own, "each", 2, Decimal("1.00"))
    uses(own, "per-m", Decimal("2.5"), Decimal("0.40"))
    uses(own, "per-m2", 1, Decimal("30.00"), waste=Decimal("15"))
    taken = [quantity for _, quantity in estimate.quantities(small_patch(job))]
    assert taken == [Decimal(2), Decimal("2.5") * Decimal("0.620"), Decimal("0.0114")]


@pytest.mark.parametrize(
    ("m2", "said"), [(0.0114, "0.01"), (0.01, "0.01"), (0.0099, "0.010"), (0.0042, "0.004")]
)
def test_an_area_smaller_than_a_hand_is_said_to_the_square_centimetre(m2, said):
    assert estimate._area(m2) == said


def test_an_opening_costs_by_the_rules_it_is_priced_by_and_has_a_code_of_its_own(job, price):
    on_the_edge(job, 0.25, "cut", mm=35, through_bladder="no")
    proposals.propose_job(job)
    price.opening_fixed_minutes += 10
    [access] = estimate.access_lines(job, price)
    assert (access.minutes, access.cost, access.amount) == (
        Decimal("34.0"),
        Decimal("40.80"),
        Decimal("40.80"),
    )
    assert access.operation_code == "opening leading-edge"


def test_on_a_damage_that_is_opened_for_anyway_nothing_counts_an_opening_of_its_own(job, price):
    on_the_edge(job, 0.1, "cut", mm=35, through_bladder="no")
    on_the_edge(job, 0.5, "burst")
    on_the_canopy(job, 0.5, "tear", mm=90)
    proposals.propose_job(job)
    repairs = proposals.repairs_of_job(job)
    opened = estimate.access_lines(job, price)
    assert opened
    for each in repairs:
        each.preferred = each.preferred and each.damage.number != 1
    priced = [estimate.line_for(each, price) for each in repairs]
    assert estimate.repair_lines(job, price, repairs, opened) == priced


def test_a_repair_without_another_way_is_no_choice(job):
    repair = small_patch(job)
    repair.choice = ""
    assert estimate.choice_of(repair) == ""


def test_what_cutting_throws_away_is_a_share_of_the_cloth(job, price):
    own = operation("casing-patch-small", set_up_minutes=0, minutes_per_m=0, minutes_per_m2=0)
    uses(own, "per-m2", 1, Decimal("3000.00"), waste=Decimal("50"))
    assert estimate.line_for(small_patch(job), price).amount == Decimal("51.30")


@pytest.mark.parametrize(
    ("basis", "quantity", "unit", "figure", "named"),
    [
        ("each", "1", "piece", "5.00", True),
        ("each", "1", "piece", "4.99", False),
        ("each", "0.5", "piece", "9.00", False),
        ("each", "1", "m2", "9.00", False),
        ("per-m", "1", "piece", "9.00", False),
    ],
)
def test_only_whole_things_that_cost_something_are_named_as_parts(basis, quantity, unit, figure, named):
    use = OperationMaterial(
        basis=basis, quantity=Decimal(quantity), material=Material(unit=unit, price=Decimal(figure))
    )
    assert estimate._is_part(use) == named
