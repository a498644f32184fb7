"""What a customer answers to a quote: which lines, what total they saw, their name."""

from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from typing import NamedTuple

from django.http import QueryDict

ACCEPT, DECLINE, RECKON = "accept", "decline", "total"
LONGEST_FIGURE = 16


class Answered(NamedTuple):
    """The form as it was sent. What is no figure counts as not said."""

    act: str
    quote: int
    """Number of the version that the page showed."""
    version: int
    taken: frozenset[int]
    total_shown: Decimal | None
    name: str


def read(sent: QueryDict) -> Answered:
    """The answer that was sent. Whether it may be given is the quote's to say."""
    act = sent.get("act", "")
    return Answered(
        act=act if act in {ACCEPT, DECLINE} else RECKON,
        quote=_figure(sent.get("quote", "")),
        version=_figure(sent.get("version", "")),
        taken=frozenset(_taken(sent)),
        total_shown=_amount(sent.get("total_shown", "")),
        name=sent.get("name", ""),
    )


def _taken(sent: QueryDict) -> Iterator[int]:
    for field, values in sent.lists():
        if field == "take" or field.startswith("choice-"):
            yield from (_figure(value) for value in values)


def _figure(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= LONGEST_FIGURE else 0


def _amount(text: str) -> Decimal | None:
    try:
        amount = Decimal(text) if len(text) <= LONGEST_FIGURE else None
    except InvalidOperation:
        return None
    return amount if amount is not None and amount.is_finite() else None
