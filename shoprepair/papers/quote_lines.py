"""The lines of a quote as its paper shows them: what is done, what is chosen, what may be left out."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any, NamedTuple, cast

from django.utils.translation import gettext, ngettext

from shoprepair.pricing import money, totals
from shoprepair.pricing.models import Quote, QuoteLine


class Row(NamedTuple):
    """One line; `boxed` where the customer decides, `ticked` where it is counted in the total."""

    text: str
    detail: str
    amount: str
    damages: tuple[int, ...] = ()
    boxed: bool = False
    ticked: bool = True
    then: str = ""
    """What the total becomes the other way round."""


class Group(NamedTuple):
    """Rows under one heading; the heading of what is done anyway is empty."""

    heading: str
    rows: tuple[Row, ...]
    choice: bool = False
    """Whether one of the rows is done, and not the others."""


def offered(quote: Quote, reckoned: totals.Totals) -> tuple[Group, ...]:
    """What is done, then each choice, then what the customer may leave out; ticked as the shop advises."""
    offer = _Offer(quote, reckoned)
    found = [
        Group("", tuple(offer.fixed())),
        *(Group(gettext("Choose one"), rows, choice=True) for rows in offer.choices()),
    ]
    extras = tuple(offer.extras())
    found.append(
        Group(
            ngettext("You may leave this out", "You may leave any of these out", len(extras)),
            extras,
        )
    )
    return tuple(group for group in found if group.rows)


def as_agreed(agreed: Mapping[str, Any]) -> tuple[Group, ...]:
    """What was agreed, line by line as it was shown, and what was left out of it."""

    def rows(*, taken: bool) -> tuple[Row, ...]:
        return tuple(
            Row(
                text=line["text"],
                detail=line["detail"],
                amount=money.say(Decimal(line["amount"]), agreed["currency"]),
                damages=tuple(line["damages"]),
                ticked=taken,
            )
            for line in agreed["lines"]
            if line["taken"] == taken
        )

    found = (Group("", rows(taken=True)), Group(gettext("Offered and not taken"), rows(taken=False)))
    return tuple(group for group in found if group.rows)


class _Offer:
    """The lines of a quote with the amount shown for each, and the total of any other way to take them."""

    def __init__(self, quote: Quote, reckoned: totals.Totals) -> None:
        self._quote = quote
        self._amounts = {cast(QuoteLine, shown.line): shown.amount for shown in reckoned.lines}
        self._lines = list(self._amounts)
        self._taken = {line.pk for line in self._lines if line.taken}

    def fixed(self) -> Iterator[Row]:
        for line in self._lines:
            if not line.choice and not line.optional:
                yield self._row(line)

    def choices(self) -> Iterator[tuple[Row, ...]]:
        for word in dict.fromkeys(line.choice for line in self._lines if line.choice):
            alike = [line for line in self._lines if line.choice == word]
            others = self._taken - {line.pk for line in alike}
            yield tuple(
                self._row(line, boxed=True, then="" if line.taken else self._then(others | {line.pk}))
                for line in alike
            )

    def extras(self) -> Iterator[Row]:
        for line in self._lines:
            if line.optional and not line.choice:
                yield self._row(line, boxed=True, then=self._then(self._taken ^ {line.pk}))

    def _then(self, taken: set[int]) -> str:
        return gettext("total then %(say)s") % {
            "say": money.say(totals.of(self._quote, taken).total, self._quote.currency)
        }

    def _row(self, line: QuoteLine, *, boxed: bool = False, then: str = "") -> Row:
        return Row(
            text=line.text,
            detail=line.detail,
            amount=money.say(self._amounts[line], self._quote.currency),
            damages=tuple(line.damages),
            boxed=boxed,
            ticked=line.taken,
            then=then,
        )
