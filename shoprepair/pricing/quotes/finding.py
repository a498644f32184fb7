"""The quotes of a job: which one counts, and which came before."""

from django.db.models import QuerySet
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote

State = Quote.State
SEEN = (State.OUT, State.ACCEPTED, State.DECLINED)


def current(job: Job) -> Quote | None:
    """The quote that the customer sees: the newest that is out, accepted or declined."""
    return versions(job).filter(state__in=SEEN).first()


def open_draft(job: Job) -> Quote | None:
    """The quote that is still being written, if there is one."""
    return versions(job).filter(state=State.DRAFT).first()


def out(job: Job) -> Quote | None:
    """The quote that awaits an answer, if there is one."""
    return versions(job).filter(state=State.OUT).first()


def agreed(job: Job) -> Quote | None:
    """The quote whose agreement is in force; it stays so while a newer one awaits its answer.

    What was added to it later is in `agreements`.
    """
    return versions(job).filter(state=State.ACCEPTED, addition_to=None).first()


def agreements(job: Job) -> list[Quote]:
    """All agreements in force, in the order they were written: the quote, then what was added to it."""
    return list(versions(job).filter(state=State.ACCEPTED).order_by("number"))


def waiting_addition(job: Job) -> Quote | None:
    """The addition that awaits the customer's answer, if there is one; it may have expired."""
    return versions(job).filter(state=State.OUT).exclude(addition_to=None).first()


def declined_additions(job: Job) -> list[Quote]:
    """What the customer did not want added to the agreement in force, in the order it was written."""
    no = versions(job).filter(state=State.DECLINED, addition_to__state=State.ACCEPTED)
    return list(no.order_by("number"))


def whole(job: Job) -> Quote | None:
    """As `current`, but never an addition: whether work may begin is not up to what is added later."""
    return versions(job).filter(state__in=SEEN, addition_to=None).first()


def versions(job: Job) -> QuerySet[Quote]:
    """All quotes of a job, newest first."""
    return Quote.objects.filter(job=job).select_related("job", "addition_to").order_by("-number")


def expired(quote: Quote) -> bool:
    """Whether a quote that is out can no longer be accepted because its last day is over."""
    return quote.state == State.OUT and quote.valid_until < timezone.localdate()
