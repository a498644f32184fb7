"""Amounts and bench time as people read them: {% load money %}."""

from decimal import Decimal

from django import template

from shoprepair.pricing.money import say
from shoprepair.shop.languages import written
from shoprepair.shop.units import say_bench_time

register = template.Library()
NOT_SAID = "–"


@register.filter
def money(amount: Decimal | None, currency: str) -> str:
    """An amount of a currency; a dash where there is none."""
    return NOT_SAID if amount is None else say(amount, currency)


@register.filter
def bench_time(minutes: Decimal | float | None) -> str:
    """Minutes as the bench says them; a dash where nobody knows."""
    return NOT_SAID if minutes is None else say_bench_time(minutes)


@register.filter
def percent(share: Decimal | None) -> str:
    """A share as people write it: "8 %", "7.5 %"."""
    return NOT_SAID if share is None else f"{written(f'{share.normalize():f}')} %"
