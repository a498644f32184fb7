"""Money week by week: quoted, agreed, done and paid, each by its own day and in its own currency.

*Quoted* is every quote by the day on which it went out, as the shop advised it, and *agreed* every
agreement in force by the day of its answer, as agreed. Both stand as they are now: a quote that a newer one
replaced, or that was taken back, is in neither. *Done* is every invoice by the day on which it was made, at
hand-back; the credit that takes one back counts against its own day. *Paid* is all that came in, deposits
too, less what went back. The last two are ledgers, so that a week that is over never changes.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from django.db.models import OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote
from shoprepair.pricing.sums import NOUGHT, add_up
from shoprepair.pricing.waiting import as_sent
from shoprepair.shop.languages import in_a_sentence
from shoprepair.shop.models import Shop
from shoprepair.shop.weeks import IsoWeek
from shoprepair.work.models import Invoice, Payment

State = Quote.State
STANDING = (State.OUT, State.ACCEPTED, State.DECLINED)
"""Quotes that were neither replaced nor taken back."""


class Kind(StrEnum):
    QUOTED = "quoted"
    AGREED = "agreed"
    DONE = "done"
    PAID = "paid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One amount of one day."""

    kind: Kind
    at: datetime.datetime
    job: Job
    currency: str
    amount: Decimal
    what: str
    """'Quote 2', 'Invoice 0007', 'Deposit, card'."""

    @property
    def money(self) -> tuple[str, Decimal]:
        return self.currency, self.amount


@dataclass(frozen=True, slots=True)
class WeekOfMoney:
    """What one week came to."""

    week: IsoWeek
    sums: dict[Kind, dict[str, Decimal]]
    """Currency to amount, of each kind that there was anything of."""

    def of(self, kind: Kind) -> dict[str, Decimal]:
        """Currency to amount of one kind; empty where there was nothing."""
        return self.sums.get(kind, {})

    def amount(self, kind: Kind, currency: str) -> Decimal:
        return self.of(kind).get(currency, NOUGHT)


def by_week(weeks: Sequence[IsoWeek]) -> list[WeekOfMoney]:
    """What each of these weeks, which follow one another, came to; in four statements."""
    found: dict[IsoWeek, list[Entry]] = defaultdict(list)
    for entry in entries(weeks[0], weeks[-1]):
        found[IsoWeek.of(entry.at)].append(entry)
    return [WeekOfMoney(week, _sums(found[week])) for week in weeks]


def entries(first: IsoWeek, last: IsoWeek) -> list[Entry]:
    """Every amount from the first week to the last, by kind and time, with job, customer and gear."""
    begins, ends = first.begins, last.ends
    found = [*_quotes(begins, ends), *_invoices(begins, ends), *_payments(begins, ends)]
    order = list(Kind)
    return sorted(found, key=lambda entry: (order.index(entry.kind), entry.at, entry.job.number))


def currencies(weeks: Iterable[WeekOfMoney]) -> list[str]:
    """Every currency that anything was in."""
    return sorted({currency for week in weeks for sums in week.sums.values() for currency in sums})


def _sums(found: Sequence[Entry]) -> dict[Kind, dict[str, Decimal]]:
    kinds = {entry.kind for entry in found}
    return {kind: add_up(entry.money for entry in found if entry.kind == kind) for kind in kinds}


def _quotes(begins: datetime.datetime, ends: datetime.datetime) -> Iterator[Entry]:
    """Quotes that went out in the time, and those that were agreed in it; often the same ones."""
    sent = Q(sent_at__gte=begins, sent_at__lt=ends, state__in=STANDING)
    answered = Q(answered_at__gte=begins, answered_at__lt=ends, state=State.ACCEPTED)
    quotes = Quote.objects.filter(sent | answered).select_related(*_OF_JOB).prefetch_related("lines")
    for quote in quotes:
        what = gettext("Quote %(number)s") % {"number": quote.number}
        if quote.sent_at and begins <= quote.sent_at < ends:
            yield _entry(Kind.QUOTED, quote.sent_at, quote.job, quote.currency, as_sent(quote), what)
        agreed = quote.state == State.ACCEPTED and quote.answered_at
        if agreed and begins <= agreed < ends:
            amount = Decimal(quote.agreed.get("total", "0"))
            yield _entry(Kind.AGREED, agreed, quote.job, quote.currency, amount, what)


def _invoices(begins: datetime.datetime, ends: datetime.datetime) -> Iterator[Entry]:
    made = Invoice.objects.filter(made_at__gte=begins, made_at__lt=ends).defer("lines")
    for each in made.select_related("credits", *_OF_JOB):
        what = (
            gettext("Credit %(each)s of invoice %(credits)s") % {"each": each, "credits": each.credits}
            if each.credits
            else gettext("Invoice %(each)s") % {"each": each}
        )
        yield _entry(Kind.DONE, each.made_at, each.job, each.currency, each.total, what)


def _payments(begins: datetime.datetime, ends: datetime.datetime) -> Iterator[Entry]:
    paid = Payment.objects.filter(at__gte=begins, at__lt=ends)
    for each in _in_their_currency(paid).select_related(*_OF_JOB):
        currency: str = each.currency  # type: ignore[attr-defined]
        yield _entry(Kind.PAID, each.at, each.job, currency, each.amount, _how(each))


def _in_their_currency(payments: QuerySet[Payment]) -> QuerySet[Payment]:
    """Each with its `currency`: that of what was agreed, as `invoices.owed` has it, else the invoice's."""
    agreed = Quote.objects.filter(job=OuterRef("job"), state=State.ACCEPTED).order_by("number")
    invoiced = Invoice.objects.filter(job=OuterRef("job")).order_by("number")
    sources = (agreed, invoiced, Shop.objects.filter(pk=1))
    return payments.annotate(currency=Coalesce(*(Subquery(each.values("currency")[:1]) for each in sources)))


def _how(payment: Payment) -> str:
    method = in_a_sentence(payment.get_method_display())
    what = (
        gettext("Deposit")
        if payment.is_deposit
        else gettext("Payment")
        if payment.amount >= 0
        else gettext("Given back")
    )
    return f"{what}, {method}"


def _entry(kind: Kind, at: datetime.datetime, job: Job, currency: str, amount: Decimal, what: str) -> Entry:
    return Entry(kind=kind, at=at, job=job, currency=currency, amount=amount, what=what)


_OF_JOB = ("job__customer", "job__inflatable__pattern")
