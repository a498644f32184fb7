"""What a quote adds up to: every sum is a sum of rounded amounts that are shown, so it holds to the cent."""

from collections.abc import Collection, Iterable
from copy import copy
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from shoprepair.pricing.models import Quote, QuoteLine
from shoprepair.pricing.money import rounded

NOUGHT = Decimal("0.00")


class Priced(Protocol):
    """A line that has a price: a Line of the estimate or a QuoteLine."""

    @property
    def text(self) -> str: ...
    @property
    def amount(self) -> Decimal: ...
    @property
    def cost(self) -> Decimal: ...
    @property
    def minutes(self) -> Decimal: ...
    @property
    def taken(self) -> bool: ...


@dataclass(frozen=True, slots=True)
class Shown:
    """A line with the amount that everybody sees for it, rounded, and nought under warranty."""

    line: Priced
    amount: Decimal
    taken: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """The amounts under the lines. subtotal + minimum_added - discount = net; net + tax = total."""

    lines: tuple[Shown, ...]
    """All of them, also those that are not taken."""
    subtotal: Decimal
    minimum_added: Decimal
    """What a small job is raised by to the shop's minimum charge."""
    discount: Decimal
    """What is taken off, as a positive amount."""
    discount_percent: Decimal
    net: Decimal
    tax: Decimal
    tax_name: str
    tax_percent: Decimal
    total: Decimal
    deposit: Decimal
    """The part of the total that is paid with the go-ahead."""
    deposit_percent: Decimal
    cost: Decimal
    """What the taken lines cost the shop; counted under warranty too."""
    minutes: Decimal


def totals(
    lines: Iterable[Priced],
    *,
    rounding: Decimal,
    discount_percent: Decimal,
    tax_percent: Decimal,
    tax_name: str,
    minimum_charge: Decimal,
    deposit_percent: Decimal,
    deposit_from: Decimal,
    warranty: bool = False,
) -> Totals:
    """Add up the taken lines.

    rounding: the step that each shown amount is a multiple of. The minimum charge raises what is
    taken, if anything is; the discount is given on both, for otherwise the one would eat the other.
    Under warranty every amount is nought and the cost still counted.
    """
    shown = tuple(
        Shown(line, NOUGHT if warranty else rounded(line.amount, rounding), line.taken) for line in lines
    )
    taken = [each for each in shown if each.taken]
    subtotal = sum((each.amount for each in taken), NOUGHT)
    least = NOUGHT if warranty or not taken else rounded(minimum_charge, rounding)
    minimum_added = max(least - subtotal, NOUGHT)
    discount = _share(subtotal + minimum_added, discount_percent, rounding)
    net = subtotal + minimum_added - discount
    tax = _share(net, tax_percent, rounding)
    total = net + tax
    return Totals(
        lines=shown,
        subtotal=subtotal,
        minimum_added=minimum_added,
        discount=discount,
        discount_percent=discount_percent,
        net=net,
        tax=tax,
        tax_name=tax_name,
        tax_percent=tax_percent,
        total=total,
        deposit=_share(total, deposit_percent, rounding) if total >= deposit_from else NOUGHT,
        deposit_percent=deposit_percent,
        cost=sum((each.line.cost for each in taken), NOUGHT),
        minutes=sum((each.line.minutes for each in taken), Decimal(0)),
    )


def of(quote: Quote, taken: Collection[int] | None = None) -> Totals:
    """What a quote adds up to.

    taken: ids of the lines that the customer takes; lines that are neither optional nor one of a
    choice are always in. Without it, the lines as agreed, or as the shop advises while there is no answer.
    """
    if taken is None and quote.agreed:
        taken = {line["id"] for line in quote.agreed["lines"] if line["taken"]}
    return totals(
        [_marked(line, taken) for line in quote.lines.all()],
        rounding=quote.rounding,
        discount_percent=quote.discount_percent,
        tax_percent=quote.tax_percent,
        tax_name=quote.tax_name,
        minimum_charge=quote.minimum_charge,
        deposit_percent=quote.deposit_percent,
        deposit_from=quote.deposit_from,
        warranty=quote.warranty,
    )


def is_taken(line: QuoteLine, taken: Collection[int]) -> bool:
    """Whether a line is in, when the customer takes these: what they cannot leave out always is."""
    return not (line.optional or line.choice) or line.pk in taken


def _marked(line: QuoteLine, taken: Collection[int] | None) -> QuoteLine:
    """The line as the customer takes it; a copy, for others may hold the same row."""
    if taken is None:
        return line
    line = copy(line)
    line.taken = is_taken(line, taken)
    return line


def _share(amount: Decimal, percent: Decimal, rounding: Decimal) -> Decimal:
    """A percentage, rounded, and never more than the whole."""
    return min(rounded(amount * percent / 100, rounding), amount)
