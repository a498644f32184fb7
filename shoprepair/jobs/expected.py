"""Gear that was asked about from outside and is not here yet: on the rack, but not among what is here."""

from typing import Any

from django.db.models import Case, OuterRef, Q, QuerySet, Subquery, When

from shoprepair.jobs.models import Enquiry, Job, Stage

AWAY = Q(stage=Stage.ENQUIRY, enquiry__sent_at__isnull=False, enquiry__came_at=None)
"""Jobs of which nothing is in the shop but what somebody told."""


def asked(job: Job) -> Enquiry | None:
    """The enquiry that the job began with; None where somebody came to the counter."""
    return getattr(job, "enquiry", None)


def is_away(job: Job) -> bool:
    """Whether the gear of the job is still on its way."""
    if hasattr(job, "awaited_by"):
        return job.awaited_by is not None
    enquiry = asked(job)
    return job.stage == Stage.ENQUIRY and enquiry is not None and enquiry.came_at is None


def with_awaited(jobs: QuerySet[Job, Any]) -> QuerySet[Job, Any]:
    """The same jobs, with all that `is_away` needs.

    Of enquiries those alone are looked at whose job may be away. Where they are joined to many jobs instead,
    a server reads all enquiries that ever came.
    """
    not_here = Enquiry.objects.filter(job=OuterRef("pk"), came_at=None).values("pk")[:1]
    return jobs.annotate(awaited_by=Case(When(stage=Stage.ENQUIRY, then=Subquery(not_here))))
