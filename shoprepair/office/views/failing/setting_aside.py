"""The coming year's claims and their cost, as the report says them."""

from math import isfinite
from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.cover.failing import smallness
from shoprepair.cover.failing.reserve import Reserve
from shoprepair.cover.rates import Limits
from shoprepair.pricing.money import say
from shoprepair.shop.charts import plain
from shoprepair.shop.languages import gettext_lazy

NO_CLAIM = gettext_lazy(
    "No claim was ours so far, so the mean says nought, which is no answer: go by the upper limit."
)
FEW_CLAIMS = gettext_lazy("This rests on {claims} that were ours, so the limits lie far apart.")


class Said(NamedTuple):
    """Lines of name and figure, the sums they lead to, and how far to trust them."""

    lines: list[tuple[str, str]]
    mean: str = ""
    """What to set aside on average; empty where nothing can be said."""
    safe: str = ""
    """The same by the upper limit."""
    caution: str = ""


def said(found: Reserve, claims: int, currency: str) -> Said:
    """Expected claims times what one costs, with the limits of the rate carried through."""
    lines = [
        (gettext("Covers that stand"), plain(found.standing)),
        (gettext("Repair-years they will run in the coming year"), plain(round(found.years, 1))),
    ]
    if not isfinite(found.rate.high) or not found.years:
        return Said(lines)
    lines.append((gettext("Claims in 100 repair-years so far"), _limits(found.rate, 100)))
    lines.append((gettext("Claims to expect"), _limits(found.expected)))
    if not found.cost:
        return Said(lines)
    of = (
        gettext("a claim that was ours")
        if found.cost.of_claims
        else gettext("a repair, as no claim was mended yet")
    )
    lines.append(
        (
            gettext("Mean cost of %(of)s") % {"of": of},
            gettext("%(amount)s (of %(of)s)")
            % {"amount": say(found.cost.amount, currency), "of": plain(found.cost.of)},
        )
    )
    mean, safe = (say(found.amount(each), currency) for each in (found.expected.value, found.expected.high))
    return Said(lines, mean, safe, _caution(claims))


def _caution(claims: int) -> str:
    if not claims:
        return NO_CLAIM
    if claims < smallness.FEW_EVENTS:
        return FEW_CLAIMS.format(claims=smallness.count(claims, "claim"))
    return ""


def _limits(limits: Limits, times: float = 1.0) -> str:
    value, low, high = (plain(round(each * times, 2)) for each in (limits.value, limits.low, limits.high))
    return gettext("%(value)s (%(low)s to %(high)s)") % {"value": value, "low": low, "high": high}
