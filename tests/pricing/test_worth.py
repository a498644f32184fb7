import datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.pricing import worth
from shoprepair.pricing.models import PriceRules
from tests.factories import InflatableFactory, PatternFactory

RULES = PriceRules()
TODAY = datetime.date(2026, 11, 25)


@pytest.mark.parametrize(
    ("years", "kept"), [(0, "1500.00"), (1, "1170.00"), (2, "912.60"), (10, "150.00"), (40, "150.00")]
)
def test_gear_loses_the_same_share_of_its_worth_each_year_down_to_a_floor(years: int, kept: str) -> None:
    assert worth.present_worth(Decimal(1500), years, RULES) == Decimal(kept)


@given(st.decimals(0, 9999, places=2), st.integers(0, 50))
def test_gear_never_gains_worth_and_keeps_at_least_the_floor(price: Decimal, years: int) -> None:
    now = worth.present_worth(price, years, RULES)
    assert worth.present_worth(price, years + 1, RULES) <= now <= price
    assert now >= (price * RULES.least_worth_percent / 100).quantize(Decimal("0.01")) - Decimal("0.01")


def test_gear_bought_next_year_is_worth_what_it_costs_new() -> None:
    assert worth.present_worth(Decimal(1500), -1, RULES) == 1500


@pytest.mark.django_db
def test_its_own_price_goes_before_its_patterns() -> None:
    pattern = PatternFactory(new_price=Decimal(1000))
    gear = InflatableFactory(pattern=pattern, bought_year=2025)
    assert worth.of(gear, TODAY, RULES) == Decimal("780.00")
    gear.new_price = Decimal(1500)
    assert worth.of(gear, TODAY, RULES) == Decimal("1170.00")


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("price", "year", "sentence"),
    [
        (None, None, "Enter what it cost new and the year it was bought"),
        (None, 2024, "Enter what it cost new."),
        (Decimal(1500), None, "Enter the year it was bought."),
    ],
)
def test_what_is_missing_for_the_worth_is_said(
    price: Decimal | None, year: int | None, sentence: str
) -> None:
    gear = InflatableFactory(new_price=price, bought_year=year)
    assert worth.of(gear, TODAY, RULES) is None
    assert sentence in worth.missing(gear)


@pytest.mark.django_db
def test_nothing_is_missing_where_price_and_year_are_known() -> None:
    assert worth.missing(InflatableFactory(new_price=Decimal(1500), bought_year=2024)) == ""


def test_a_repair_is_weighed_as_a_share_of_the_worth() -> None:
    weighed = worth.verdict(Decimal(234), Decimal(1170), RULES)
    assert (weighed.share, weighed.not_worth) == (Decimal("0.2"), False)
    assert weighed.sentence == "The repair costs 20 % of what the gear is worth today."


@pytest.mark.parametrize(("total", "not_worth"), [("599.99", False), ("600", True), ("1500", True)])
def test_from_the_shops_own_share_on_it_is_plainly_not_worth_repairing(total: str, not_worth: bool) -> None:
    weighed = worth.verdict(Decimal(total), Decimal(1000), RULES)
    assert weighed.not_worth == not_worth
    assert ("not worth repairing" in weighed.sentence) == not_worth


def test_a_repair_for_almost_nothing_is_not_called_none() -> None:
    assert "less than 1 %" in worth.verdict(Decimal("0.50"), Decimal(1000), RULES).sentence
    assert "0 %" in worth.verdict(Decimal(0), Decimal(1000), RULES).sentence


def test_gear_that_is_worth_nothing_is_not_worth_repairing() -> None:
    weighed = worth.verdict(Decimal(10), Decimal(0), RULES)
    assert (weighed.share, weighed.not_worth) == (None, True)


def test_an_unknown_worth_asks_for_the_price_and_judges_nothing() -> None:
    weighed = worth.verdict(Decimal(10), None, RULES)
    assert (weighed.share, weighed.not_worth) == (None, False)
    assert "Enter what it cost new" in weighed.sentence
