"""What was agreed, read from the record made then: nothing of it is reckoned anew."""

import datetime
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from django.utils.translation import gettext

from shoprepair.portal.offer import SHARED, Line, Sum, cents, percent, said
from shoprepair.pricing.models import Quote, QuoteLine


class Record(NamedTuple):
    """An answer as it stands: whose, when, and for an acceptance all that was shown."""

    quote: Quote
    name: str
    at: datetime.datetime | None
    taken: tuple[Line, ...] = ()
    left_out: tuple[Line, ...] = ()
    sums: tuple[Sum, ...] = ()
    total: str = ""
    deposit: str = ""
    by_phone: bool = False
    """The shop wrote down what the customer said."""
    note: str = ""
    terms: str = ""
    ours: bool = False
    """The shop agreed to it in its own name: there is nothing to pay."""
    free: bool = False
    """Every amount is nought: what is done is told, and what it costs said once."""

    @property
    def accepted(self) -> bool:
        return self.quote.state == Quote.State.ACCEPTED

    @property
    def not_mended(self) -> set[int]:
        """Numbers of the damages that a line was left out for and no line that was taken mends."""
        return self._damages(taken=False) - self.mended

    @property
    def mended(self) -> set[int]:
        """Numbers of the damages that a line which was taken mends."""
        return self._damages(taken=True)

    @property
    def declined(self) -> set[int]:
        """Numbers of the damages that a declined addition was about."""
        if self.quote.addition_to_id is None or self.quote.state != Quote.State.DECLINED:
            return set()
        return {number for line in self.quote.lines.all() for number in line.damages}

    def _damages(self, *, taken: bool) -> set[int]:
        lines = [line for line in self.quote.agreed.get("lines", []) if line["kind"] != QuoteLine.Kind.ACCESS]
        return {number for line in lines if line["taken"] == taken for number in line["damages"]}


def record(quote: Quote) -> Record:
    """The recorded answer to a quote that was accepted or declined."""
    if not quote.agreed:
        return Record(quote, quote.answered_name, quote.answered_at)
    agreed = quote.agreed
    lines = [_line(kept, agreed["currency"]) for kept in agreed["lines"]]
    deposit = Decimal(agreed["deposit"])
    return Record(
        quote=quote,
        name=quote.answered_name,
        at=quote.answered_at,
        taken=tuple(line for line in lines if line.taken),
        left_out=tuple(line for line in lines if not line.taken),
        sums=() if agreed["warranty"] else tuple(_sums(agreed)),
        total=_said(agreed, "total"),
        deposit=said(deposit, agreed["currency"]) if deposit else "",
        by_phone=bool(agreed["written_down_by"]),
        note=agreed["note"],
        terms=agreed["terms"],
        ours=bool(agreed["warranty"] and agreed["written_down_by"]),
        free=bool(agreed["warranty"]),
    )


def _line(kept: Mapping[str, Any], currency: str) -> Line:
    amount = Decimal(kept["amount"])
    shared = kept["kind"] == QuoteLine.Kind.ACCESS and len(kept["damages"]) > 1
    return Line(
        id=kept["id"],
        text=kept["text"],
        detail=kept["detail"],
        damages=tuple(kept["damages"]),
        amount=said(amount, currency),
        cents=cents(amount),
        taken=kept["taken"],
        shared=SHARED if shared and not kept["detail"] else "",
    )


def _sums(agreed: Mapping[str, Any]) -> Iterator[Sum]:
    discount, tax = Decimal(agreed["discount_percent"]), Decimal(agreed["tax_percent"])
    minimum = Decimal(agreed["minimum_added"])
    yield Sum(
        "subtotal",
        gettext("All lines counted"),
        _said(agreed, "subtotal"),
        shown=any((minimum, discount, tax)),
    )
    yield Sum(
        "minimum",
        gettext("Raised to the shop’s least charge"),
        _said(agreed, "minimum_added"),
        shown=bool(minimum),
    )
    taken_off = said(-Decimal(agreed["discount"]), agreed["currency"])
    yield Sum(
        "discount",
        gettext("Discount, %(discount)s") % {"discount": percent(discount)},
        taken_off,
        shown=bool(discount),
    )
    yield Sum("tax", f"{agreed['tax_name']}, {percent(tax)}", _said(agreed, "tax"), shown=bool(tax))


def _said(agreed: Mapping[str, Any], amount: str) -> str:
    return said(Decimal(agreed[amount]), agreed["currency"])
