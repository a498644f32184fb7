"""Quotes that belong together: what was agreed, what was added to it in work, what is to be asked."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from shoprepair.jobs.models import Job
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.models import Quote

State = Quote.State


class Agreed(NamedTuple):
    """A quote beside the one that is shown, with what it comes to."""

    quote: Quote
    total: Decimal
    expired: bool = False

    @property
    def lines(self) -> list[dict[str, Any]]:
        """What was taken of it, with the amounts as they were shown."""
        return [
            {**line, "amount": Decimal(line["amount"])}
            for line in self.quote.agreed.get("lines", [])
            if line["taken"]
        ]


def quote_card(job: Job) -> dict[str, Any]:
    """What the job sheet says of the quote: the version that counts, a newer one being written, and what was
    added to it in work or is still to be asked."""
    versions = quotes.of(job)
    draft = next((quote for quote in versions if quote.state == State.DRAFT), None)
    seen = next((quote for quote in versions if quote.state != State.DRAFT), None)
    agreed = agreed_of(versions)
    shown = agreed if seen and seen.addition_to_id and agreed else seen or draft
    added = [quote for quote in reversed(versions) if agreed and _adds(quote, agreed)]
    return {
        "quote": shown,
        "quote_sums": totals.of(shown) if shown else None,
        "quote_expired": shown is not None and quotes.expired(shown),
        "quote_draft": draft if seen else None,
        "quote_added": [Agreed(quote, totals.of(quote).total, quotes.expired(quote)) for quote in added],
        "quote_in_all": _in_all(versions),
        "quote_new": more_found(job, versions),
    }


def more_found(job: Job, versions: Sequence[Quote]) -> list[int]:
    """Numbers of the damages that were found in work and that nobody writes or asks the customer about."""
    drafted = any(quote.state == State.DRAFT for quote in versions)
    if drafted or job.stage not in quotes.IN_WORK or agreed_of(versions) is None:
        return []
    return quotes.not_asked(job)


def agreed_of(versions: Sequence[Quote]) -> Quote | None:
    """The agreed quote in force, among a job's versions."""
    return next((q for q in versions if q.state == State.ACCEPTED and q.addition_to_id is None), None)


def _adds(quote: Quote, agreed: Quote) -> bool:
    """Whether a version is an addition that was sent and still counts."""
    stands = quote.state in (State.OUT, State.ACCEPTED, State.DECLINED)
    return quote.addition_to_id == agreed.pk and stands


def _in_all(versions: Sequence[Quote]) -> Decimal | None:
    """What all agreements come to, where there are several in one currency."""
    agreements = [quote for quote in versions if quote.state == State.ACCEPTED]
    if len(agreements) < 2 or len({quote.currency for quote in agreements}) > 1:
        return None
    return sum((quotes.agreed_total(quote) for quote in agreements), Decimal(0))


def addition(quote: Quote, total: Decimal) -> dict[str, Any]:
    """What stands beside an addition: the agreements it adds to, and what it comes to with them."""
    if quote.addition_to_id is None:
        return {}
    others = [other for other in quotes.agreements(quote.job) if other.pk != quote.pk]
    return {
        "adds_to": [Agreed(other, totals.of(other).total) for other in others],
        "together": quotes.together(quote, total),
    }
