"""Typical cases by the catalogue and the rules that come with the program: their prices stand in the
trade's proportions. Common practice, no source; amounts in US dollars without tax."""

from decimal import Decimal

import pytest

from shoprepair.gear import library
from shoprepair.pricing import catalogue, rules, typical
from shoprepair.pricing.catalogue_changes import Use
from shoprepair.pricing.models import Material, Operation


@pytest.fixture
def prices(db: None) -> dict[str, Decimal]:
    library.load()
    catalogue.load()
    return {row.code: typical.case(row, rules.current()).price for row in Operation.objects.all()}


def test_a_leading_edge_burst_rebuild_costs_a_little_over_two_hundred(prices):
    assert 200 <= prices["le-burst-rebuild"] <= 260


def test_a_small_cut_costs_a_fraction_of_the_burst_it_becomes(prices):
    assert 60 <= prices["casing-patch-small"] <= 110
    assert prices["le-burst-rebuild"] > 2 * prices["casing-patch-small"]


def test_a_strut_is_rebuilt_for_less_than_a_leading_edge(prices):
    assert prices["strut-burst-rebuild"] < prices["le-burst-rebuild"]


def test_a_canopy_tape_costs_the_least_that_a_job_costs(prices):
    assert prices["canopy-tape"] == min(prices.values()) == 25


def test_a_new_bladder_costs_more_than_a_patch_on_the_old_one(prices):
    assert 120 <= prices["bladder-replace-le"] <= 200
    assert prices["bladder-patch"] < prices["bladder-replace-strut"] < prices["bladder-replace-le"]


def test_most_of_a_small_cuts_price_is_the_way_to_it(prices):
    """Common practice, no source: access is most of it where the repair itself is small."""
    case = typical.case(Operation.objects.get(code="casing-scuff-ply"), rules.current())
    assert case.opening > case.work


def test_a_residue_costs_more_to_be_rid_of_than_a_fresh_tear(prices):
    assert prices["canopy-tape"] < prices["stretch-patch-peel"] < prices["stretch-patch-cut-out"]


def test_the_parts_of_a_typical_case_add_up_by_hand(prices):
    """22 + 0.6 m × 9 + 0.01 m² × 60 = 28 min at 72 an hour = 33.60; 0.01 m² of cloths at 18 + 20 % and
    36 + 15 %, 0.6 m × 2.5 m of thread at 0.02 + 20 %, 2 wipes at 0.30 + 10 % = 1.33; an opening of
    0.15 m at 18 + 40 min/m = 24 min = 28.80."""
    case = typical.case(Operation.objects.get(code="casing-patch-small"), rules.current())
    assert (case.minutes, case.work, case.materials) == (28, Decimal("33.60"), Decimal("1.33"))
    assert (case.opening_minutes, case.opening, case.price) == (24, Decimal("28.80"), Decimal("63.73"))


def test_a_dearer_hour_makes_every_repair_dearer_but_the_least_ones(prices):
    dearer = rules.current()
    dearer.hourly_rate = Decimal(90)
    for row in Operation.objects.all():
        case = typical.case(row, dearer)
        assert case.price > prices[row.code] or case.is_minimum, row


def test_prices_follow_the_shops_rounding(prices):
    whole = rules.current()
    whole.rounding = "1.00"
    for row in Operation.objects.all():
        assert typical.case(row, whole).price % 1 == 0, row


def test_a_currency_without_cents_shows_none(prices):
    """Of the yen and the won there is no hundredth: ISO 4217, exponent 0."""
    for row in Operation.objects.all():
        assert typical.case(row, rules.current(), currency="JPY").price % 1 == 0, row


def test_an_own_operation_has_a_typical_size_by_its_part(db):
    assert typical.size_of(Operation(code="own", area="canopy")).patch_m2 > 0
    assert typical.size_of(Operation(code="own", area="seam")).patch_m2 == 0


def test_a_typical_case_tells_only_of_the_size_that_its_price_hangs_on(db):
    own = Operation(code="own", area="casing", set_up_minutes=Decimal(15))
    webbing = Material(name="Webbing", unit="m", price=Decimal(2), waste_percent=Decimal(0))
    by = rules.current()

    alone = typical.case(own, by, [Use(webbing, "each", Decimal(1))]).size
    sewn = typical.case(own, by, [Use(webbing, "per-m", Decimal(1))]).size

    assert (alone.stitching_m, alone.patch_m2) == (0, 0)
    assert (sewn.stitching_m, sewn.patch_m2) == (Decimal("1.6"), 0)
