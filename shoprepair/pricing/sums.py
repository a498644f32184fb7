"""Sums of money, each currency for itself: a shop that changed its currency has amounts of both."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from decimal import Decimal

from shoprepair.pricing.money import say

NOUGHT = Decimal("0.00")
Sums = Mapping[str, Decimal]
"""Currency to amount."""


def add_up(amounts: Iterable[tuple[str, Decimal]]) -> dict[str, Decimal]:
    """Currency to the sum of its amounts, exact; a currency whose amounts cancel out stays, at nought."""
    sums: dict[str, Decimal] = defaultdict(lambda: NOUGHT)
    for currency, amount in amounts:
        sums[currency] += amount
    return dict(sorted(sums.items()))


def say_sums(sums: Sums, own: str) -> str:
    """'$1,240.00 and €30.00', the shop's own currency first; '$0.00' where there is nothing."""
    return " and ".join(say(amount, currency) for currency, amount in in_order(sums, own))


def in_order(sums: Sums, own: str) -> list[tuple[str, Decimal]]:
    """The shop's own currency first, at nought where nothing is in it and in no other; then the others."""
    others = [(currency, amount) for currency, amount in sums.items() if currency != own and amount]
    mine = sums.get(own, NOUGHT)
    return others if others and not mine else [(own, mine), *others]
