"""What usual repairs would cost by the rate that stands in the form."""

from decimal import Decimal
from typing import NamedTuple

from shoprepair.office.forms.set_up import RateForm
from shoprepair.pricing import money, typical
from shoprepair.pricing.models import Operation, PriceRules
from shoprepair.pricing.starting import Proposed

SHOWN = ("canopy-tape", "bladder-patch", "casing-patch-small", "le-burst-rebuild")


class Example(NamedTuple):
    """A usual case of an operation, without tax."""

    name: str
    minutes: Decimal
    amount: Decimal


def examples(stored: PriceRules, form: RateForm, proposed: Proposed | None, currency: str) -> list[Example]:
    """The usual case of a few operations; nothing while the rate cannot be read.

    In whole units of the money, roughly, as long as prices are only `proposed`; else as the shop rounds.
    """
    known = not form.is_bound or form.is_valid()
    rate = form.cleaned_data["hourly_rate"] if form.is_bound and known else form["hourly_rate"].initial
    if not known or rate is None:
        return []
    by_rules = PriceRules(
        hourly_rate=rate,
        **{
            name: getattr(stored, name)
            for name in (
                "opening_fixed_minutes",
                "opening_minutes_per_m",
                "opening_reach_m",
                "opening_least_m",
            )
        },
    )
    found = {row.code: row for row in Operation.objects.filter(code__in=SHOWN, active=True)}
    factor = proposed.factor if proposed else Decimal(1)
    step = money.step_for(Decimal(1) if proposed else stored.rounding, currency)
    return [_example(found[code], by_rules, factor, step) for code in SHOWN if code in found]


def _example(operation: Operation, by_rules: PriceRules, factor: Decimal, step: Decimal) -> Example:
    case = typical.case(operation, by_rules)
    whole = case.work + case.materials * factor
    return Example(operation.name, case.minutes, money.rounded(whole, step))
