"""The quotes of a job: which one counts, and which came before."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from django.db.models import Prefetch, QuerySet
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.jobs.reading import is_read, read_once
from shoprepair.pricing.models import Quote, QuoteLine

State = Quote.State
SEEN = (State.OUT, State.ACCEPTED, State.DECLINED)


def of(job: Job) -> list[Quote]:
    """All quotes of a job, newest first: as the page has read them once, else read now.

    A change has read nothing before: it finds the job under its lock, and so meets the newest here.
    """
    return list(job.quotes.all()) if is_read(job, "quotes") else list(versions(job))


@contextmanager
def read_all_once(job: Job) -> Iterator[None]:
    """Within, whatever is asked about the quotes of a job and their lines is read one time, for pages."""
    lines = Prefetch("lines", _with_what_they_mend())
    quotes = Quote.objects.select_related("addition_to").order_by("-number")
    with read_once(job, Prefetch("quotes", quotes.prefetch_related(lines))):
        yield


def lines_of(quotes: Sequence[Quote]) -> list[QuoteLine]:
    """The lines of these quotes with what they mend, in their order; the oldest quote first."""
    if all(is_read(quote, "lines") for quote in quotes):
        oldest_first = sorted(quotes, key=lambda quote: quote.number)
        return [line for quote in oldest_first for line in quote.lines.all()]
    return list(_with_what_they_mend().filter(quote__in=quotes).order_by("quote__number", "position"))


def taken_lines(job: Job) -> list[QuoteLine]:
    """The lines that the customer took of every agreement in force, with what they mend, in their order."""
    agreed = agreements(job)
    taken = {line["id"] for quote in agreed for line in quote.agreed.get("lines", []) if line["taken"]}
    return [line for line in lines_of(agreed) if line.pk in taken]


def current(job: Job) -> Quote | None:
    """The quote that the customer sees: the newest that is out, accepted or declined."""
    return next((quote for quote in of(job) if quote.state in SEEN), None)


def open_draft(job: Job) -> Quote | None:
    """The quote that is still being written, if there is one."""
    return next((quote for quote in of(job) if quote.state == State.DRAFT), None)


def out(job: Job) -> Quote | None:
    """The quote that awaits an answer, if there is one."""
    return next((quote for quote in of(job) if quote.state == State.OUT), None)


def agreed(job: Job) -> Quote | None:
    """The quote whose agreement is in force; it stays so while a newer one awaits its answer.

    What was added to it later is in `agreements`.
    """
    found = (quote for quote in of(job) if quote.state == State.ACCEPTED and quote.addition_to_id is None)
    return next(found, None)


def agreements(job: Job) -> list[Quote]:
    """All agreements in force, in the order they were written: the quote, then what was added to it."""
    return [quote for quote in reversed(of(job)) if quote.state == State.ACCEPTED]


def waiting_addition(job: Job) -> Quote | None:
    """The addition that awaits the customer's answer, if there is one; it may have expired."""
    waiting = out(job)
    return waiting if waiting and waiting.addition_to_id else None


def declined_additions(job: Job) -> list[Quote]:
    """What the customer did not want added to the agreement in force, in the order it was written."""
    return [
        quote
        for quote in reversed(of(job))
        if quote.state == State.DECLINED and quote.addition_to and quote.addition_to.state == State.ACCEPTED
    ]


def whole(job: Job) -> Quote | None:
    """As `current`, but never an addition: whether work may begin is not up to what is added later."""
    seen = (quote for quote in of(job) if quote.state in SEEN and quote.addition_to_id is None)
    return next(seen, None)


def versions(job: Job) -> QuerySet[Quote]:
    """All quotes of a job, newest first, read now."""
    return Quote.objects.filter(job=job).select_related("job", "addition_to").order_by("-number")


def expired(quote: Quote) -> bool:
    """Whether a quote that is out can no longer be accepted because its last day is over."""
    return quote.state == State.OUT and quote.valid_until < timezone.localdate()


def _with_what_they_mend() -> QuerySet[QuoteLine]:
    return QuoteLine.objects.select_related("repair__operation", "repair__damage__job__inflatable__pattern")
