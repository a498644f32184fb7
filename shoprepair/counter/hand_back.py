"""What the hand-back page shows: what was agreed and paid, what is open, who takes the gear."""

from decimal import Decimal
from typing import Any, NamedTuple

from django.http import HttpRequest

from shoprepair.counter.forms.hand_back import GiveForm, PaymentForm, RefundForm
from shoprepair.counter.keys import new_key
from shoprepair.jobs.models import Job, Stage
from shoprepair.papers.quote_lines import Row
from shoprepair.papers.quote_price import Sum, price
from shoprepair.pricing.models import Quote
from shoprepair.work import hand_back, invoices, payments, signature
from shoprepair.work.invoices import NOUGHT, Owed
from shoprepair.work.models import HandBack

CANVAS = (500, round(500 * signature.HEIGHT))


class Agreement(NamedTuple):
    """One agreement as its page shows it: the lines taken, and what leads to its total."""

    number: int
    rows: tuple[Row, ...]
    sums: tuple[Sum, ...]
    total: str


def hand_back_page(job: Job, request: HttpRequest, **more: Any) -> dict[str, Any]:
    """All that the page names. A form that was refused takes the place of a fresh one."""
    owing, given = invoices.owed(job), hand_back.of(job)
    quotes = invoices.agreements(job)
    points = [] if given else hand_back.open_points(job)
    return {
        "job": job,
        "owing": owing,
        "agreements": [_agreement(quote) for quote in quotes],
        "payments": payments.of(job),
        "invoices": list(invoices.of(job)),
        "standing": invoices.standing(job),
        "may_invoice": bool(quotes) and job.stage in (*hand_back.FROM, Stage.HANDED_BACK),
        "given": given,
        "drawn": drawn(given) if given else "",
        "canvas": CANVAS,
        "points": points,
        "may_give": not given and job.stage in hand_back.FROM,
        "is_early": job.stage not in (Stage.READY, Stage.HANDED_BACK),
        "may_overrule": request.user.is_owner,
        "pay": payment_form(job, owing),
        "back": RefundForm(currency=owing.currency),
        "give": give_form(job),
        "key": new_key(),
        **more,
    }


def is_deposit(job: Job) -> bool:
    """Whether what comes in now comes before the work is done."""
    return job.stage not in (Stage.READY, Stage.HANDED_BACK)


def payment_form(job: Job, owing: Owed, posted: Any = None) -> PaymentForm:
    """The money that comes in, preset to what is due now."""
    due = (owing.deposit_due if is_deposit(job) else NOUGHT) or owing.due
    return PaymentForm(posted, currency=owing.currency, initial={"amount": _plain(max(due, NOUGHT))})


def give_form(job: Job, posted: Any = None) -> GiveForm:
    """Who takes it, preset to the customer."""
    return GiveForm(posted, initial={"taker_name": job.customer.name})


def drawn(given: HandBack) -> str:
    """The signature as the path of a drawing; empty where it is on paper."""
    return signature.path(given.signature, *CANVAS)


def _agreement(quote: Quote) -> Agreement:
    shown = price(quote)
    rows = tuple(row for group in shown.groups for row in group.rows if row.ticked)
    return Agreement(quote.number, rows, shown.sums, shown.total)


def _plain(amount: Decimal) -> str:
    """As people type it: 30 for 30.00, 12.50 as it is."""
    return f"{amount:f}" if amount % 1 else f"{amount:.0f}"
