"""What claims of the coming year will cost, from those so far and from what stands."""

from decimal import Decimal

import pytest

from shoprepair.cover import rates
from shoprepair.cover.failing.lives import Life
from shoprepair.cover.failing.reserve import MeanCost, mean_cost, next_year
from shoprepair.pricing.models import Quote
from tests.cover.failing.past import claimed, covered
from tests.factories import JobFactory, QuoteFactory, QuoteLineFactory

COST = MeanCost(Decimal("80.00"), 4, of_claims=True)


def a_life(years: float, *, failed: bool = False, left: float = 1.0) -> Life:
    return Life(
        inflatable=1,
        operation="Casing patch",
        cloth="",
        techs=(),
        lots=(),
        years=years,
        failed=failed,
        standing=not failed,
        left=0.0 if failed else left,
    )


def test_in_a_young_shop_the_limits_are_the_exact_ones_of_its_rate():
    found = next_year([a_life(0.5) for _ in range(48)] + [a_life(0.5, failed=True) for _ in range(2)], COST)

    exact = rates.exact_limits(2, 25)
    assert (found.standing, found.years) == (48, 48)
    assert found.expected.value == pytest.approx(48 * exact.value)
    assert (found.expected.low, found.expected.high) == pytest.approx((48 * exact.low, 48 * exact.high))


def test_repairs_that_failed_young_do_not_make_old_ones_dear():
    """Ten of a thousand failed within weeks; the rest has held for nine years."""
    lives = [a_life(9) for _ in range(990)] + [a_life(0.05, failed=True) for _ in range(10)]

    found = next_year(lives, COST)

    assert found.expected.value == 0
    assert 0 < found.expected.high < 10
    assert found.rate.value > 0.001


def test_a_cover_that_ends_in_spring_costs_for_a_quarter_of_the_year():
    lives = [a_life(0.5, left=0.25) for _ in range(40)] + [a_life(0.5, failed=True)]

    assert next_year(lives, COST).years == 10


def test_no_claim_so_far_still_asks_for_something():
    found = next_year([a_life(2) for _ in range(125)], COST)

    assert found.amount(found.expected.value) == 0
    assert found.amount(found.expected.high) > 100


def test_without_a_year_watched_nothing_is_expected():
    found = next_year([], None)

    assert (found.standing, found.years, found.expected.value) == (0, 0, 0)
    assert found.amount(3) == 0


def accept(quote: Quote) -> None:
    agreed = {"lines": [{"id": line.pk, "taken": line.taken} for line in quote.lines.all()]}
    Quote.objects.filter(pk=quote.pk).update(state=Quote.State.OUT)
    Quote.objects.filter(pk=quote.pk).update(state=Quote.State.ACCEPTED, agreed=agreed)


@pytest.mark.django_db
def test_the_mean_cost_is_that_of_what_claims_took_to_mend():
    for cost in ("60.00", "100.00"):
        remedy = JobFactory()
        claimed(covered(2), 1, remedy=remedy)
        quote = QuoteFactory(job=remedy, warranty=True)
        QuoteLineFactory(quote=quote, cost=Decimal(cost))
        QuoteLineFactory(quote=quote, cost=Decimal(500), taken=False)
        accept(quote)

    assert mean_cost() == MeanCost(Decimal("80.00"), 2, of_claims=True)


@pytest.mark.django_db
def test_before_the_first_remedy_it_is_the_mean_cost_of_a_repair(django_assert_max_num_queries):
    line = QuoteLineFactory(cost=Decimal("42.00"))
    assert mean_cost() is None
    accept(line.quote)

    with django_assert_max_num_queries(3):
        assert mean_cost() == MeanCost(Decimal("42.00"), 1, of_claims=False)
