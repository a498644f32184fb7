"""What the covers that stand today will likely cost in the coming year, and what to set aside for it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Sum

from shoprepair.cover import rates
from shoprepair.cover.failing.lives import Life
from shoprepair.cover.models import Claim
from shoprepair.pricing.models import Quote, QuoteLine

CENT = Decimal("0.01")


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
    """Claims so far over the years watched, carried on to the covers that stand.

    Assumed: the rate stays as it was on average, whatever a repair's age. No more is claimed where few
    years were watched: the limits say how little that tells.
    """
    rate = rates.exact_limits(sum(life.failed for life in lives), sum(life.years for life in lives))
    years = sum(life.left for life in lives)
    expected = rates.Limits(*(each * years if years else 0.0 for each in (rate.value, rate.low, rate.high)))
    standing = sum(life.standing for life in lives)
    return Reserve(standing=standing, years=years, rate=rate, expected=expected, cost=cost)


def mean_cost() -> MeanCost | None:
    """The mean cost of a claim that was mended; before the first, of a repair; None before any."""
    lines = QuoteLine.objects.filter(quote__state=Quote.State.ACCEPTED, taken=True)
    ours = Claim.objects.filter(decision=Claim.Decision.OURS, remedy__isnull=False)
    remedies = lines.filter(quote__warranty=True, quote__job__in=ours.values("remedy"))
    spent = remedies.aggregate(cost=Sum("cost"), jobs=Count("quote__job", distinct=True))
    if spent["jobs"]:
        count = ours.filter(remedy__in=remedies.values("quote__job")).count()
        return MeanCost((spent["cost"] / count).quantize(CENT), count, of_claims=True)
    repairs = lines.filter(kind=QuoteLine.Kind.REPAIR).aggregate(cost=Sum("cost"), n=Count("id"))
    if not repairs["n"]:
        return None
    return MeanCost((repairs["cost"] / repairs["n"]).quantize(CENT), repairs["n"], of_claims=False)
