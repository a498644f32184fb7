"""What the covers that stand today will likely cost in the coming year, and what to set aside for it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from math import inf

from django.db.models import Count, Sum

from shoprepair.cover import costs, rates
from shoprepair.cover.failing.lives import Life
from shoprepair.cover.models import Claim
from shoprepair.pricing.models import Quote, QuoteLine

CENT = Decimal("0.01")
AGES = (0.0, 1.0, 2.0, 5.0)
"""Years of age from which repairs are counted apart."""


@dataclass(frozen=True, slots=True)
class MeanCost:
    """What mending one claim costs the shop."""

    amount: Decimal
    of: int
    """How many it is the mean of."""
    of_claims: bool
    """False: no claim was mended yet, so it is the mean of what repairs cost the shop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserve:
    """Claims to expect in a year and their cost; limits are those of the claim rate, at 95 %."""

    standing: int
    years: float
    """Repair-years that the standing covers will run in the coming year."""
    rate: rates.Limits
    expected: rates.Limits
    cost: MeanCost | None

    def amount(self, claims: float) -> Decimal:
        """What some number of claims costs at the mean."""
        return (Decimal(claims) * (self.cost.amount if self.cost else Decimal(0))).quantize(CENT)


def next_year(lives: Sequence[Life], cost: MeanCost | None) -> Reserve:
    """Claims in each year of a repair's age so far, carried on to the covers that stand and their age.

    Assumed: repairs go on failing as often at each age as those before them did. An age at which fewer
    years were watched than are to come is counted with the age before: none is guessed from next to nothing.
    """
    rate = rates.exact_limits(sum(life.failed for life in lives), sum(life.years for life in lives))
    ages = [age for age in _ages(lives) if age.watched]
    expected = rates.weighted_limits([age.events for age in ages], [age.coming / age.watched for age in ages])
    years = sum(life.left for life in lives)
    standing = sum(life.standing for life in lives)
    return Reserve(standing=standing, years=years, rate=rate, expected=expected, cost=cost)


@dataclass(frozen=True, slots=True)
class Age:
    """Repairs between two ages: claims and years watched so far, and years to come in the next year."""

    events: int
    watched: float
    coming: float

    def with_(self, older: "Age") -> "Age":
        return Age(self.events + older.events, self.watched + older.watched, self.coming + older.coming)


def _ages(lives: Sequence[Life]) -> list[Age]:
    """From the youngest up, the thin ones counted with the one before."""
    found: list[Age] = []
    for low, high in pairwise((*AGES, inf)):
        age = Age(
            sum(life.failed and low <= life.years < high for life in lives),
            sum(_within(0.0, life.years, low, high) for life in lives),
            sum(_within(life.years, life.years + life.left, low, high) for life in lives),
        )
        if found and age.watched < age.coming:
            found[-1] = found[-1].with_(age)
        else:
            found.append(age)
    return found


def _within(start: float, end: float, low: float, high: float) -> float:
    """How much of a stretch lies between two bounds."""
    return max(min(end, high) - max(start, low), 0.0)


def mean_cost() -> MeanCost | None:
    """The mean cost of a claim that was mended; before the first, of a repair; None before any."""
    ours = Claim.objects.filter(decision=Claim.Decision.OURS).exclude(remedy=None).only("pk")
    spent = [cost for cost in costs.of_each(ours).values() if cost]
    if spent:
        return MeanCost((sum(spent, Decimal(0)) / len(spent)).quantize(CENT), len(spent), of_claims=True)
    lines = QuoteLine.objects.filter(
        quote__state=Quote.State.ACCEPTED, taken=True, kind=QuoteLine.Kind.REPAIR
    )
    repairs = lines.aggregate(cost=Sum("cost"), n=Count("id"))
    if not repairs["n"]:
        return None
    return MeanCost((repairs["cost"] / repairs["n"]).quantize(CENT), repairs["n"], of_claims=False)
