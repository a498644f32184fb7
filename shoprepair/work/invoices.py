"""What a customer owes for a job, and the invoices that say so: numbered without gaps, never changed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote
from shoprepair.pricing.money import say
from shoprepair.pricing.quotes import finding
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop import journal, settings
from shoprepair.shop.access import is_owner
from shoprepair.shop.models import Staff
from shoprepair.shop.numbers import next_number
from shoprepair.shop.said import gettext
from shoprepair.work import cover_terms
from shoprepair.work.models import Invoice

NOUGHT = Decimal("0.00")
LONGEST_REASON = 200
SUMS = ("subtotal", "minimum_added", "discount", "net", "tax", "total")
_AS_AGREED = (*SUMS, "discount_percent", "tax_percent", "tax_name", "warranty", "at", "name")


class InvoiceRefused(ValueError):
    """The invoice cannot be made or taken back; the message says in a sentence why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Owed:
    """What all that was agreed comes to, and what came in for it. paid + due = total, to the cent."""

    currency: str
    total: Decimal
    paid: Decimal
    """All that came in, less what went back."""
    deposit: Decimal
    """What was asked for with the go-ahead."""

    @property
    def due(self) -> Decimal:
        """Still to be paid; below nought where more came in than is owed now."""
        return self.total - self.paid

    @property
    def over(self) -> Decimal:
        """What came in beyond what is owed now, to be given back."""
        return max(-self.due, NOUGHT)

    @property
    def deposit_due(self) -> Decimal:
        """What of the deposit has not come in yet."""
        return max(min(self.deposit, self.total) - max(self.paid, NOUGHT), NOUGHT)

    def said(self, amount: Decimal) -> str:
        """An amount of it as people read it."""
        return say(amount, self.currency)


def agreements(job: Job) -> list[Quote]:
    """Every accepted quote in force, oldest first: additions after what they add to."""
    return finding.agreements(job)


def owed(job: Job) -> Owed:
    """What the customer owes for all that was agreed; nothing while nothing is."""
    quotes = agreements(job)
    paid = sum(job.payments.values_list("amount", flat=True), NOUGHT)
    return Owed(
        currency=quotes[0].currency if quotes else settings.current().currency,
        total=_sum(quotes, "total"),
        paid=paid,
        deposit=_sum(quotes, "deposit"),
    )


def of(job: Job) -> QuerySet[Invoice]:
    """All invoices and credits of a job, newest first."""
    return Invoice.objects.filter(job=job).select_related("credits", "credited_by", "made_by")


def standing(job: Job) -> Invoice | None:
    """The invoice in force: neither a credit nor taken back by one."""
    return of(job).filter(credits=None, credited_by=None).first()


@transaction.atomic
def make(job: Job, *, who: Staff) -> Invoice:
    """The job's invoice over all that was agreed, as it was agreed.

    The one in force where it still says that; else it is credited and a new one made. Raises
    InvoiceRefused where nothing was agreed.
    """
    lock(job)
    quotes = agreements(job)
    if not quotes:
        raise InvoiceRefused(gettext("Nothing was agreed for this job, so there is nothing to invoice."))
    if len({quote.currency for quote in quotes}) > 1:
        raise InvoiceRefused(
            gettext("The agreed quotes are in different currencies. One invoice is in one currency.")
        )
    before = standing(job)
    if before and set(before.quotes.values_list("pk", flat=True)) == {quote.pk for quote in quotes}:
        return before
    if before:
        _credit(before, gettext("What was agreed has changed."), who)
    made = _write(job, _lines(job, quotes), _sum(quotes, "total"), quotes[0].currency, who)
    made.quotes.set(quotes)
    total = say(made.total, made.currency)
    journal.record(
        job,
        "invoice.made",
        gettext("Made invoice %(made)s: %(total)s.") % {"made": made, "total": total},
        who=who,
    )
    return made


@transaction.atomic
def credit(invoice: Invoice, *, who: Staff, reason: str) -> Invoice:
    """Take an invoice back by a credit of its own number. The owner does, and says why.

    Raises InvoiceRefused.
    """
    lock(invoice.job)
    reason = " ".join(reason.split())
    if not is_owner(who):
        raise InvoiceRefused(gettext("Only the owner takes an invoice back."))
    if not reason:
        raise InvoiceRefused(gettext("Say why the invoice is taken back, in a few words."))
    if len(reason) > LONGEST_REASON:
        raise InvoiceRefused(
            gettext("Say it in %(LONGEST_REASON)s letters or fewer; these are %(reason)s.")
            % {"LONGEST_REASON": LONGEST_REASON, "reason": len(reason)}
        )
    if invoice.credits_id:
        raise InvoiceRefused(gettext("This is itself a credit. Make a new invoice instead."))
    if taken := Invoice.objects.filter(credits=invoice).first():
        raise InvoiceRefused(gettext("Credit %(taken)s has taken it back already.") % {"taken": taken})
    return _credit(invoice, reason, who)


def _credit(invoice: Invoice, reason: str, who: Staff) -> Invoice:
    lines = {**invoice.lines, "credits": invoice.number, "reason": reason}
    made = _write(invoice.job, lines, -invoice.total, invoice.currency, who, credits=invoice)
    text = gettext("Credit %(made)s takes invoice %(invoice)s back: %(reason)s") % {
        "made": made,
        "invoice": invoice,
        "reason": reason,
    }
    journal.record(invoice.job, "invoice.credited", text, who=who)
    return made


def _write(
    job: Job, lines: Mapping[str, Any], total: Decimal, currency: str, who: Staff, **more: Any
) -> Invoice:
    return Invoice.objects.create(
        number=next_number("invoice"),
        job=job,
        lines=dict(lines),
        currency=currency,
        total=total,
        made_by=who,
        made_at=timezone.now(),
        **more,
    )


def _lines(job: Job, quotes: Sequence[Quote]) -> dict[str, Any]:
    """What the invoice says for good: to whom, for which gear, each agreement with its lines and sums."""
    return {
        "customer": job.customer.name,
        "gear": str(job.inflatable.pattern),
        "serial": job.inflatable.serial,
        "parts": parts(quotes),
        **{name: str(_sum(quotes, name)) for name in ("net", "tax", "total")},
    }


def parts(quotes: Sequence[Quote]) -> list[dict[str, Any]]:
    """Each agreement with its taken lines as agreed, their covers as the catalogue words them, its sums."""
    return [_part(quote) for quote in quotes]


def _part(quote: Quote) -> dict[str, Any]:
    agreed, covers = quote.agreed, cover_terms.of(quote)
    lines = [
        {
            **{name: line.get(name, "") for name in ("text", "detail", "damages", "amount")},
            "cover": covers.get(line["id"], {}),
        }
        for line in agreed.get("lines", [])
        if line["taken"]
    ]
    kept = {name: agreed[name] for name in _AS_AGREED if name in agreed}
    return {"quote": quote.number, "lines": lines, **kept}


def _sum(quotes: Sequence[Quote], name: str) -> Decimal:
    """One figure of all agreements together, as they were shown: nought under warranty."""
    return sum((Decimal(quote.agreed.get(name, "0")) for quote in quotes), NOUGHT)
