"""Forgetting an enquiry of which nothing came: all that names the person goes, what was damaged stays."""

import datetime
import logging

from django.db.models import Min, Q
from django.utils import timezone

from shoprepair.jobs import erasure, stages
from shoprepair.jobs.models import Enquiry, Job, Ownership, Photo, Stage
from shoprepair.shop import erasing
from shoprepair.shop.erasing import ERASED
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.lasting import Kind
from shoprepair.shop.settings import current

WHILE_SENT = datetime.timedelta(minutes=1)
"""Longer before the first enquiry nobody is entered because of it."""
WHY = gettext_lazy("Nothing came of it in {days} days, so it was forgotten.")

logger = logging.getLogger("shoprepair.jobs.enquiries")


def forget_due(now: datetime.datetime | None = None) -> int:
    """Forget what was asked longer ago than the shop keeps it and never came in; how many there were.

    One that cannot be forgotten is logged and tried again the next day; it keeps no other from being.
    """
    now = now or timezone.now()
    forgotten = 0
    for enquiry in due(now):
        try:
            forget(enquiry)
        except Exception:
            logger.exception("Enquiry %s could not be forgotten", enquiry.job_id)
        else:
            forgotten += 1
    erasure.remove_files()
    return forgotten


def due(now: datetime.datetime, days: int | None = None) -> list[Enquiry]:
    """What was asked too long ago, never came in, and waits still or was withdrawn.

    Too long is what the shop says, or so many days.
    """
    time = datetime.timedelta(days=current().enquiry_days if days is None else days)
    ended = Q(job__stage__in=(Stage.ENQUIRY, Stage.WITHDRAWN))
    old = Enquiry.objects.filter(ended, sent_at__lt=now - time, came_at=None, forgotten_at=None)
    return list(old.select_related("job__customer").order_by("pk"))


def forget(enquiry: Enquiry) -> None:
    """Withdraw the visit, if it waits still, and erase the person, their photos and what they wrote.

    Who is known here for more than enquiries stays; then only what came with this one goes.
    """
    at = timezone.now()
    with erasing.window():
        job = Job.objects.select_for_update(of=("self",)).select_related("customer").get(pk=enquiry.job_id)
        if job.stage == Stage.ENQUIRY:
            why = WHY.format(days=current().enquiry_days)
            stages.move(job, Stage.WITHDRAWN, who=None, reason=why)
        held = Enquiry.objects.filter(pk=enquiry.pk, came_at=None, job__stage=Stage.WITHDRAWN)
        if not held.update(words="", forgotten_at=at):
            return
        Photo.objects.filter(job=job).update(caption=ERASED, shared=False)
        Photo.objects.filter(job=job, removed_at=None).update(removed_at=at)
        if _known_by_this_alone(job):
            erasure.erase_by_itself(job.customer)


def _known_by_this_alone(job: Job) -> bool:
    """Whether all that the shop has of the person are enquiries of which nothing came."""
    customer = job.customer
    others = Job.objects.filter(customer=customer).exclude(enquiry__forgotten_at__isnull=False)
    gear = Ownership.objects.filter(customer=customer).exclude(
        inflatable__jobs__enquiry__forgotten_at__isnull=False
    )
    first = Enquiry.objects.filter(job__customer=customer).aggregate(first=Min("sent_at"))["first"]
    known_before = customer.created_at < first - WHILE_SENT
    return not (customer.erased_at or known_before or others.exists() or gear.exists())


KIND = Kind(
    field="enquiry_days",
    what=gettext_lazy("Enquiries that never came in"),
    unit="days",
    fewest=7,
    most=730,
    then=gettext_lazy("Name, phone, e-mail, words and photos go. What was wrong with the gear stays."),
    one="enquiry",
    many="enquiries",
    due=lambda days, now: len(due(now, days)),
)
