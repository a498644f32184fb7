"""What the page says about the price, in whichever state the quotes are."""

from collections.abc import Sequence
from typing import Any

from shoprepair.jobs.models import Job, Stage
from shoprepair.portal import days
from shoprepair.portal.forms.answer import Answered
from shoprepair.portal.offer import offer, said
from shoprepair.portal.record import record
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.pricing.quotes.sending import STAYS
from shoprepair.shop.languages import gettext_lazy

State = Quote.State

NOT_YET = gettext_lazy(
    "There is no quote yet. It comes to this page, line by line, and nothing is done before you accept it."
)
NOT_ANY = gettext_lazy("There is no quote for this visit.")
TAKEN_BACK = gettext_lazy("The shop has taken its quote back. A new one comes to this page.")
EXPIRED = gettext_lazy(
    "This quote was valid until {day} and can no longer be answered. "
    "Ask below, or call, and the shop writes a new one."
)
CLOSED = gettext_lazy("This quote can no longer be answered. Ask below, or call the shop.")


def costs(job: Job, sent: Answered | None = None) -> dict[str, Any]:
    """The quote that counts: as an offer while it is out, as a record once it is answered.

    An earlier agreement stays in force, and in sight, while a newer quote waits for its answer; what was
    found in work and answered since stands beside it. `sent` is an answer that is shown again: what it
    takes of the quote it was given to.
    """
    quote, agreements = quotes.current(job), quotes.agreements(job)
    agreed = next((one for one in agreements if one.addition_to_id is None), None)
    added = sorted([*agreements, *quotes.declined_additions(job)], key=lambda one: one.number)
    shown: dict[str, Any] = {
        "offer": None,
        "closed": "",
        "record": record(agreed) if agreed else None,
        "added": [record(one) for one in added if one.addition_to_id],
        "agreed_in_all": _in_all(agreements),
        "no_quote": "",
        "pdf": quote is not None,
    }
    if quote is None:
        shown["no_quote"] = _why_none(job)
    elif quote.state == State.OUT:
        taken = sent.taken if sent and sent.quote == quote.number else None
        shown["offer"], shown["closed"] = offer(quote, taken), _why_closed(quote, job)
    elif quote != agreed and quote.addition_to_id is None:
        shown["record"] = record(quote)
    return shown


def _in_all(agreements: Sequence[Quote]) -> str:
    """What several agreements come to together; empty where there are not several, or not in one currency."""
    if len(agreements) < 2:
        return ""
    newest = agreements[-1]
    every = quotes.together(newest, quotes.agreed_total(newest))
    return said(every, newest.currency) if every is not None else ""


def _why_none(job: Job) -> str:
    newest = next((one for one in quotes.of(job) if one.state != State.DRAFT), None)
    if newest is not None and newest.state == State.WITHDRAWN and job.is_open:
        return TAKEN_BACK
    return NOT_YET if job.is_open and job.stage != Stage.READY else NOT_ANY


def _why_closed(quote: Quote, job: Job) -> str:
    """Why a quote that is out cannot be answered; empty where it can."""
    if quotes.expired(quote):
        return EXPIRED.format(day=days.day(quote.valid_until))
    return "" if job.stage in STAYS else CLOSED
