"""What claims that were ours have cost, and against whom and what it is counted."""

from decimal import Decimal

import pytest

from shoprepair.cover import claims, costs
from shoprepair.cover.models import Claim
from shoprepair.pricing import quotes, totals
from tests.cover.claiming import a_claim, back_again, once_covered, the_cover
from tests.pricing.mending import on_the_edge

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def _covered(django_db_setup, django_db_blocker):
    yield from once_covered(django_db_blocker)


@pytest.fixture
def cover():
    return the_cover()


def decide(claim: Claim, who) -> Claim:
    return claims.decide(claim, "ours", "Our patch let go.", who=who, version=claim.version)


def test_the_cost_is_counted_against_the_first_repair(cover, owner):
    visit = back_again(cover.inflatable)
    on_the_edge(visit, 0.5, "cut", mm=30, face="top")
    decided = decide(a_claim(cover, owner, visit), owner)
    cost = costs.of(decided)
    assert cost == totals.of(quotes.agreed(decided.remedy)).cost > 0
    operation = next(row for row in costs.by("operation") if row.name == cover.operation_name)
    assert (operation.covers, operation.claims, operation.ours, operation.cost) == (1, 1, 1, cost)
    assert operation.share == 1
    for what, names in (("tech", cover.techs), ("lot", cover.lots), ("cloth", [cover.cloth])):
        counted = {row.name: row.cost for row in costs.by(what)}
        assert {counted[name] for name in names if name} <= {cost}, what
        assert any(names)


@pytest.mark.parametrize(
    ("cost", "among", "parts"),
    [("0.00", 2, ["0.00", "0.00"]), ("10.00", 3, ["3.34", "3.33", "3.33"]), ("5.00", 0, [])],
)
def test_a_shared_cost_is_split_to_the_cent(cost, among, parts):
    assert costs.shares(Decimal(cost), among) == [Decimal(part) for part in parts]


def test_counting_costs_asks_as_often_for_many_claims_as_for_one(cover, owner, django_assert_num_queries):
    one = decide(a_claim(cover, owner), owner)
    with django_assert_num_queries(4):
        costs.of_each([one])
    other = decide(a_claim(cover, owner), owner)
    with django_assert_num_queries(4):
        assert set(costs.of_each([one, other])) == {one.pk, other.pk}
