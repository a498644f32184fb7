"""What the page says about the price, in whichever state the quotes are."""

from collections.abc import Collection
from typing import Any

from shoprepair.jobs.models import Job, Stage
from shoprepair.portal.offer import offer
from shoprepair.portal.record import record
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote

State = Quote.State

NOT_YET = (
    "There is no quote yet. It comes to this page, line by line, and nothing is done before you accept it."
)
NOT_ANY = "There is no quote for this visit."
TAKEN_BACK = "The shop has taken its quote back. A new one comes to this page."


def costs(job: Job, taken: Collection[int] | None = None) -> dict[str, Any]:
    """The quote that counts: as an offer while it is out, as a record once it is answered.

    An earlier agreement stays in force, and in sight, while a newer quote waits for its answer.
    """
    quote, agreed = quotes.current(job), quotes.agreed(job)
    shown: dict[str, Any] = {
        "offer": None,
        "expired": False,
        "record": record(agreed) if agreed else None,
        "no_quote": "",
        "pdf": quote is not None,
    }
    if quote is None:
        shown["no_quote"] = _why_none(job)
    elif quote.state == State.OUT:
        shown["offer"], shown["expired"] = offer(quote, taken), quotes.expired(quote)
    elif quote != agreed:
        shown["record"] = record(quote)
    return shown


def _why_none(job: Job) -> str:
    newest = quotes.versions(job).exclude(state=State.DRAFT).first()
    if newest is not None and newest.state == State.WITHDRAWN and job.is_open:
        return TAKEN_BACK
    return NOT_YET if job.is_open and job.stage != Stage.READY else NOT_ANY
