"""Is it worth repairing? The repair beside what the inflatable is worth today."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext

from shoprepair.gear.models import Inflatable
from shoprepair.pricing.models import PriceRules
from shoprepair.pricing.money import CENT, rounded
from shoprepair.shop.languages import gettext_lazy

UNKNOWN = gettext_lazy(
    "What it is worth today is not known. Enter what it cost new and the year it was bought, "
    "and the repair is weighed against that."
)


@dataclass(frozen=True, slots=True)
class Worth:
    """A repair as a share of the gear's present worth."""

    share: Decimal | None
    """1 where the repair costs as much as the gear is worth; None where that is not known."""
    not_worth: bool
    sentence: str


def present_worth(new_price: Decimal, years: Decimal | int, rules: PriceRules) -> Decimal:
    """What gear is worth after some years: each takes the same share of what is left, down to a floor.

    Sound old gear keeps `least_worth_percent` of its new price. The yearly loss is the shop's own
    figure [common practice, no source].
    """
    kept = (1 - rules.yearly_loss_percent / 100) ** max(Decimal(years), Decimal(0))
    return rounded(new_price * max(kept, rules.least_worth_percent / 100), CENT)


def of(inflatable: Inflatable, on: datetime.date, rules: PriceRules) -> Decimal | None:
    """The present worth of an inflatable on a day, by whole calendar years; None where it is not known."""
    new_price = new_price_of(inflatable)
    if new_price is None or inflatable.bought_year is None:
        return None
    return present_worth(new_price, on.year - inflatable.bought_year, rules)


def new_price_of(inflatable: Inflatable) -> Decimal | None:
    """What this one cost new, or else what its pattern costs."""
    return inflatable.new_price if inflatable.new_price is not None else inflatable.pattern.new_price


def missing(inflatable: Inflatable) -> str:
    """Says what to enter so that the present worth is known; empty where it is."""
    price, year = new_price_of(inflatable) is None, inflatable.bought_year is None
    if price and year:
        return UNKNOWN
    if price:
        return gettext("What it is worth today is not known. Enter what it cost new.")
    return gettext("What it is worth today is not known. Enter the year it was bought.") if year else ""


def verdict(total: Decimal, worth: Decimal | None, rules: PriceRules) -> Worth:
    """Weigh a repair against the present worth, and say plainly when it is not worth it."""
    if worth is None:
        return Worth(None, False, UNKNOWN)
    if not worth:
        return Worth(None, total > 0, gettext("The gear is worth nothing today: not worth repairing."))
    share = total / worth
    said = gettext("The repair costs %(share)s of what the gear is worth today") % {"share": _percent(share)}
    if share >= rules.not_worth_percent / 100:
        return Worth(share, True, gettext("%(said)s: not worth repairing.") % {"said": said})
    return Worth(share, False, f"{said}.")


def _percent(share: Decimal) -> str:
    percent = rounded(share * 100, Decimal(1))
    return f"{percent:.0f} %" if percent or not share else gettext("less than 1 %")
