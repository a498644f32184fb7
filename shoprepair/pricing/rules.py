"""The shop's one row of price rules: read where a price is made, changed by the owner alone."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from shoprepair.pricing import rules_row
from shoprepair.pricing.models import PriceRules
from shoprepair.pricing.money import MOST, within
from shoprepair.shop.models import JournalEntry, Staff
from shoprepair.shop.said import gettext

MONEY = ("hourly_rate", "minimum_charge", "deposit_from")
PERCENTS = (
    "hour_cost_percent",
    "tax_percent",
    "deposit_percent",
    "yearly_loss_percent",
    "least_worth_percent",
    "not_worth_percent",
)
MINUTES = ("opening_fixed_minutes", "opening_minutes_per_m")
LENGTHS = {"opening_reach_m": (0.05, 2.0), "opening_least_m": (0.05, 1.0)}
"""Metres: nobody's arm is shorter or longer."""
CHANGEABLE = (*MONEY, *PERCENTS, *MINUTES, *LENGTHS, "tax_name", "rounding", "valid_days")
LONGEST_VALID_DAYS = 365
MOST_MINUTES = Decimal(480)


def current() -> PriceRules:
    """The price rules; made with their defaults the first time someone asks."""
    return PriceRules.objects.filter(pk=1).first() or PriceRules.objects.get_or_create(pk=1)[0]


def change(rules: PriceRules, *, who: Staff, version: int, **fields: Any) -> PriceRules:
    """Change price rules. No quote that is out is touched: a quote keeps the rules it was written by.

    `version` is the one the person saw. Raises ValidationError with a sentence per field, and Stale
    when somebody changed the rules since.
    """
    if unknown := set(fields) - set(CHANGEABLE):
        raise TypeError(f"Not a price rule: {', '.join(sorted(unknown))}.")
    if problems := dict(_problems(fields)):
        raise ValidationError(problems)
    return rules_row.write(
        rules,
        fields,
        who=who,
        version=version,
        what=gettext("the price rules"),
        said=gettext("Price rules were changed."),
        meanwhile=_meanwhile,
    )


def _problems(fields: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for name, value in fields.items():
        if name in MONEY and not within(value, MOST):
            yield name, gettext("An amount of money is nought or more, with two decimals at most.")
        if name in PERCENTS and not within(value, Decimal(100)):
            yield name, gettext("A percentage lies between 0 and 100, with two decimals at most.")
        if name in MINUTES and not within(value, MOST_MINUTES):
            yield (
                name,
                gettext("Minutes lie between 0 and %(MOST_MINUTES)s.") % {"MOST_MINUTES": MOST_MINUTES},
            )
        if name in LENGTHS and not LENGTHS[name][0] <= value <= LENGTHS[name][1]:
            yield (
                name,
                gettext("This length lies between %(LENGTHS)s m and %(LENGTHS_2)s m.")
                % {"LENGTHS": LENGTHS[name][0], "LENGTHS_2": LENGTHS[name][1]},
            )
    if "rounding" in fields and fields["rounding"] not in PriceRules.Rounding.values:
        yield "rounding", gettext("Choose one of the roundings shown.")
    if "valid_days" in fields and not 1 <= fields["valid_days"] <= LONGEST_VALID_DAYS:
        yield (
            "valid_days",
            gettext("A quote is valid for 1 to %(LONGEST_VALID_DAYS)s days.")
            % {"LONGEST_VALID_DAYS": LONGEST_VALID_DAYS},
        )
    if "tax_name" in fields and not 0 < len(fields["tax_name"].strip()) <= 40:
        yield "tax_name", gettext("Name the tax in 40 letters or fewer.")


def _meanwhile(entries: Iterable[JournalEntry]) -> list[str]:
    return [
        gettext("%(who_name)s changed %(changes)s.")
        % {"who_name": entry.who_name, "changes": _named(entry.changes)}
        for entry in entries
    ]


def _named(changes: dict[str, list[Any]]) -> str:
    """In one order everywhere: PostgreSQL keeps none of what is within an entry."""
    return ", ".join(
        gettext("%(replace)s from %(before)s to %(after)s")
        % {"replace": name.replace("_", " "), "before": before, "after": after}
        for name, (before, after) in sorted(changes.items())
    )
