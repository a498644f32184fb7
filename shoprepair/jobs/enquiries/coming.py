"""Enquiries that wait for their gear, and what changes when it comes."""

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from shoprepair.jobs import promising
from shoprepair.jobs.models import Enquiry, Job, Stage
from shoprepair.shop import journal
from shoprepair.shop.said import gettext


def waiting() -> QuerySet[Enquiry]:
    """The enquiries whose gear is expected, the oldest first."""
    waits = Enquiry.objects.filter(came_at=None, forgotten_at=None, job__stage=Stage.ENQUIRY)
    return waits.select_related("job__customer", "job__inflatable__pattern").order_by("sent_at")


def came(job: Job) -> None:
    """The gear of an enquiry is here: the visit begins now, not when it was asked about.

    The date promised counts from today too, unless somebody of the shop has set another.
    """
    now = timezone.now()
    if not Enquiry.objects.filter(job=job, came_at=None).update(came_at=now):
        return
    before, promised = job.promised_on, job.promised_on
    if not _promised_by_hand(job):
        promised = promising.usual(timezone.localdate())
    job.received_at, job.promised_on = now, promised
    Job.objects.filter(pk=job.pk).update(received_at=now, promised_on=promised)
    changes = journal.differences({"promised_on": before}, {"promised_on": promised})
    text = gettext("The gear of the enquiry is in the shop.")
    journal.record(job, "enquiry.came", text, who=None, changes=changes)


def on_moved(job: Job, start: Stage, to: Stage, **_: Any) -> None:
    """Receives every move of a job."""
    if (start, to) == (Stage.ENQUIRY, Stage.CHECKED_IN):
        came(job)


def _promised_by_hand(job: Job) -> bool:
    corrected = journal.entries(job).filter(verb="job.corrected")
    return any("promised_on" in entry.changes for entry in corrected)
