"""What the page says about the price, in whichever state the quotes are."""

from typing import Any

from django.utils.formats import date_format

from shoprepair.jobs.models import Job, Stage
from shoprepair.portal.forms.answer import Answered
from shoprepair.portal.offer import offer
from shoprepair.portal.record import record
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.pricing.quotes.sending import STAYS

State = Quote.State

NOT_YET = (
    "There is no quote yet. It comes to this page, line by line, and nothing is done before you accept it."
)
NOT_ANY = "There is no quote for this visit."
TAKEN_BACK = "The shop has taken its quote back. A new one comes to this page."
EXPIRED = (
    "This quote was valid until {day} and can no longer be answered. "
    "Ask below, or call, and the shop writes a new one."
)
CLOSED = "This quote can no longer be answered. Ask below, or call the shop."


def costs(job: Job, sent: Answered | None = None) -> dict[str, Any]:
    """The quote that counts: as an offer while it is out, as a record once it is answered.

    An earlier agreement stays in force, and in sight, while a newer quote waits for its answer.
    `sent` is an answer that is shown again: what it takes of the quote it was given to.
    """
    quote, agreed = quotes.current(job), quotes.agreed(job)
    shown: dict[str, Any] = {
        "offer": None,
        "closed": "",
        "record": record(agreed) if agreed else None,
        "no_quote": "",
        "pdf": quote is not None,
    }
    if quote is None:
        shown["no_quote"] = _why_none(job)
    elif quote.state == State.OUT:
        taken = sent.taken if sent and sent.quote == quote.number else None
        shown["offer"], shown["closed"] = offer(quote, taken), _why_closed(quote, job)
    elif quote != agreed:
        shown["record"] = record(quote)
    return shown


def _why_none(job: Job) -> str:
    newest = quotes.versions(job).exclude(state=State.DRAFT).first()
    if newest is not None and newest.state == State.WITHDRAWN and job.is_open:
        return TAKEN_BACK
    return NOT_YET if job.is_open and job.stage != Stage.READY else NOT_ANY


def _why_closed(quote: Quote, job: Job) -> str:
    """Why a quote that is out cannot be answered; empty where it can."""
    if quotes.expired(quote):
        return EXPIRED.format(day=date_format(quote.valid_until, "j F Y"))
    return "" if job.stage in STAYS else CLOSED
