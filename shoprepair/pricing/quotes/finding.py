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
    """The quote whose agreement is in force; it stays so while a newer one awaits its answer."""
    return versions(job).filter(state=State.ACCEPTED).first()


def versions(job: Job) -> QuerySet[Quote]:
    """All quotes of a job, newest first."""
    return Quote.objects.filter(job=job).select_related("job").order_by("-number")


def expired(quote: Quote) -> bool:
    """Whether a quote that is out can no longer be accepted because its last day is over."""
    return quote.state == State.OUT and quote.valid_until < timezone.localdate()
