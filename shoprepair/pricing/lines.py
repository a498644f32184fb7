"""One line of a price before anybody has put it into a quote."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What is done or delivered, how long it takes, what it costs the shop and what it is sold for.

    Amounts are in the shop's currency, to the cent, before rounding to the shop's step. The names are
    those of a quote's line, so that totals work on either.
    """

    kind: str
    """repair, access, part or extra."""
    text: str
    """In the language it is quoted in, and so for good: a quote that is out is an agreement, and its words
    are what the customer saw. Said anew in another language they would be words that nobody agreed to."""
    detail: str = ""
    """How the amount comes about, in words."""
    operation_code: str = ""
    repair_id: int | None = None
    damages: tuple[int, ...] = ()
    """Numbers of the damages it mends or reaches."""
    minutes: Decimal
    cost: Decimal
    amount: Decimal
    optional: bool = False
    choice: str = ""
    """Lines with one word here exclude each other."""
    taken: bool = True
