"""What a quote costs, as its paper says it: from the lines down to the total and the deposit."""

from collections.abc import Mapping
from decimal import Decimal
from types import SimpleNamespace
from typing import Any, NamedTuple, cast

from django.utils.translation import gettext

from shoprepair.papers.quote_lines import Group, as_agreed, offered
from shoprepair.pricing import money, totals
from shoprepair.pricing.models import Quote
from shoprepair.shop.languages import written

FIGURES = (
    *("subtotal", "minimum_added", "discount", "tax", "total", "deposit"),
    *("discount_percent", "tax_percent"),
)
"""What leads from the lines to the total, as it is kept with what was agreed."""


class Sum(NamedTuple):
    """One figure below the lines."""

    label: str
    amount: str


class Price(NamedTuple):
    """Every amount said in the quote's currency."""

    heading: str
    groups: tuple[Group, ...]
    sums: tuple[Sum, ...]
    """What leads from the lines to the total; empty where nothing is added or taken off."""
    total: str
    total_label: str
    deposit: str
    """Empty where none is asked for."""


def price(quote: Quote) -> Price:
    """What is offered; or, once it is agreed, what was shown then and nothing reckoned anew."""
    if quote.agreed:
        return _agreed(quote.agreed)
    reckoned = totals.of(quote)
    return _price(
        gettext("What it costs"), gettext("Total"), offered(quote, reckoned), reckoned, quote.currency
    )


def _agreed(agreed: Mapping[str, Any]) -> Price:
    figures = SimpleNamespace(
        **{name: Decimal(agreed[name]) for name in FIGURES}, tax_name=agreed["tax_name"]
    )
    return _price(
        gettext("What was agreed"),
        gettext("Total agreed"),
        as_agreed(agreed),
        cast(totals.Totals, figures),
        agreed["currency"],
    )


def _price(
    heading: str, total_label: str, groups: tuple[Group, ...], figures: totals.Totals, currency: str
) -> Price:
    def say(amount: Decimal) -> str:
        return money.say(amount, currency)

    steps = (
        (gettext("Up to the minimum charge"), figures.minimum_added),
        (
            gettext("Discount %(discount_percent)s")
            % {"discount_percent": percent(figures.discount_percent)},
            -figures.discount,
        ),
        (f"{figures.tax_name} {percent(figures.tax_percent)}", figures.tax),
    )
    added = [Sum(label, say(amount)) for label, amount in steps if amount]
    return Price(
        heading=heading,
        groups=groups,
        sums=(Sum(gettext("All lines counted"), say(figures.subtotal)), *added) if added else (),
        total=say(figures.total),
        total_label=total_label,
        deposit=say(figures.deposit) if figures.deposit else "",
    )


def percent(share: Decimal) -> str:
    """'8 %', '7.5 %'."""
    return f"{written(f'{share.normalize():f}')} %"
