"""Quotes that await the customer's answer, and since when."""

import datetime
from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from django.utils import timezone

from shoprepair.pricing import totals
from shoprepair.pricing.models import Quote

SOON_DAYS = 3
"""With so many days left, or fewer, a quote is about to run out: there is still time to ring."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """One quote that is out."""

    quote: Quote
    total: Decimal
    """As the shop advises it."""
    days: int
    """Since it went out, by the days of the calendar; 0 on the day itself."""
    left: int
    """Days until its last one: 0 on that day itself, below nought once it is over."""

    @property
    def expired(self) -> bool:
        """Whether its last day is over, so that it can no longer be accepted."""
        return self.left < 0

    @property
    def soon(self) -> bool:
        """Whether it is about to run out."""
        return 0 <= self.left <= SOON_DAYS

    @property
    def addition(self) -> bool:
        """Whether it adds to work that was agreed before, so that its job stands at another stage."""
        return self.quote.addition_to_id is not None

    @property
    def money(self) -> tuple[str, Decimal]:
        """Its currency and its total."""
        return self.quote.currency, self.total


def quotes_out(today: datetime.date) -> list[Waiting]:
    """Every quote of an open job that awaits its answer, the longest first; in two statements."""
    out = (
        Quote.objects.filter(state=Quote.State.OUT, job__is_open=True)
        .select_related("job__customer", "job__inflatable__pattern")
        .prefetch_related("lines")
        .order_by()
    )
    # Sorted here, since a database that may choose walks all that was ever sent, in the order of days.
    return [_waiting(quote, today) for quote in sorted(out, key=_when_sent)]


def as_sent(quote: Quote) -> Decimal:
    """What a quote came to when it went out: with the lines that the shop advises, whatever the answer."""
    return totals.of(quote, _advised(quote)).total


def _when_sent(quote: Quote) -> tuple[float, int]:
    return quote.sent_at.timestamp() if quote.sent_at else 0.0, quote.pk


def _advised(quote: Quote) -> Collection[int]:
    return {line.pk for line in quote.lines.all() if line.taken}


def _waiting(quote: Quote, today: datetime.date) -> Waiting:
    sent_on = timezone.localtime(quote.sent_at).date() if quote.sent_at else today
    return Waiting(
        quote=quote,
        total=as_sent(quote),
        days=max((today - sent_on).days, 0),
        left=(quote.valid_until - today).days,
    )
