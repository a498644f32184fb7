"""Money that comes in for a job, and goes back: written down once, never changed."""

from decimal import Decimal

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.pricing import money
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop import journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work.invoices import Owed, owed
from shoprepair.work.models import Payment

Method = Payment.Method
LONGEST_NOTE = 200
BY = {
    Method.CASH: gettext_lazy("in cash"),
    Method.CARD: gettext_lazy("by card"),
    Method.TRANSFER: gettext_lazy("by transfer"),
}


class PaymentRefused(ValueError):
    """The money cannot be written down so; `field` is where, the message one sentence."""

    def __init__(self, sentence: str, field: str = "amount") -> None:
        super().__init__(sentence)
        self.field = field


def of(job: Job) -> QuerySet[Payment]:
    """All that came in and went back, in its order."""
    return Payment.objects.filter(job=job).select_related("who").order_by("id")


@transaction.atomic
def take(
    job: Job, amount: Decimal, method: str, *, who: Staff, is_deposit: bool = False, note: str = ""
) -> Payment:
    """Write down money that came in. Raises PaymentRefused for more than is due."""
    lock(job)
    owing = owed(job)
    _check(owing, amount, method, note)
    if owing.due <= 0:
        raise PaymentRefused(gettext("Nothing is due for this job, so there is nothing to take."))
    if amount > owing.due:
        raise PaymentRefused(
            gettext("Only %(said)s is still due; %(said_2)s would be too much.")
            % {"said": owing.said(owing.due), "said_2": owing.said(amount)}
        )
    what = gettext("a deposit of ") if is_deposit else ""
    text = gettext("Took %(what)s%(said)s %(BY)s.") % {
        "what": what,
        "said": owing.said(amount),
        "BY": BY[Method(method)],
    }
    return _write(job, amount, method, text, who=who, is_deposit=is_deposit, note=note)


@transaction.atomic
def refund(job: Job, amount: Decimal, method: str, *, who: Staff, note: str) -> Payment:
    """Write down money that went back to the customer, `amount` above nought. The owner does, and says why.

    Raises PaymentRefused for more than came in.
    """
    lock(job)
    owing = owed(job)
    if not is_owner(who):
        raise PaymentRefused(gettext("Only the owner gives money back."), "")
    _check(owing, amount, method, note)
    if not note.strip():
        raise PaymentRefused(gettext("Say why the money goes back, in a few words."), "note")
    if amount > owing.paid:
        raise PaymentRefused(
            gettext("Only %(said)s came in for this job; %(said_2)s cannot go back.")
            % {"said": owing.said(owing.paid), "said_2": owing.said(amount)}
        )
    text = gettext("Gave %(said)s back %(BY)s: %(strip)s") % {
        "said": owing.said(amount),
        "BY": BY[Method(method)],
        "strip": note.strip(),
    }
    return _write(job, -amount, method, text, who=who, is_deposit=False, note=note)


def _check(owing: Owed, amount: Decimal, method: str, note: str) -> None:
    if method not in Method.values:
        raise PaymentRefused(gettext("Choose how it was paid: cash, card or transfer."), "method")
    if not money.within(amount, money.MOST) or not amount:
        raise PaymentRefused(gettext("Write an amount above nought, with two decimals or none."))
    if amount != money.rounded(amount, money.step_for(money.CENT, owing.currency)):
        raise PaymentRefused(
            gettext("%(said)s has smaller coins than %(currency)s knows.")
            % {"said": owing.said(amount), "currency": owing.currency}
        )
    if len(note) > LONGEST_NOTE:
        raise PaymentRefused(
            gettext("Say it in %(LONGEST_NOTE)s letters or fewer; these are %(note)s.")
            % {"LONGEST_NOTE": LONGEST_NOTE, "note": len(note)},
            "note",
        )


def _write(
    job: Job, amount: Decimal, method: str, text: str, *, who: Staff, is_deposit: bool, note: str
) -> Payment:
    journal.record(job, "payment.taken" if amount > 0 else "payment.refunded", text, who=who)
    return Payment.objects.create(
        job=job,
        amount=amount,
        method=method,
        is_deposit=is_deposit,
        note=" ".join(note.split()),
        who=who,
        at=timezone.now(),
    )
