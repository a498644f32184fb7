"""Gear that was asked about from outside and is not here yet: on the rack, but not among what is here."""

from django.db.models import Q

from shoprepair.jobs.models import Enquiry, Job, Stage

AWAY = Q(stage=Stage.ENQUIRY, enquiry__sent_at__isnull=False, enquiry__came_at=None)
"""Jobs of which nothing is in the shop but what somebody told."""


def asked(job: Job) -> Enquiry | None:
    """The enquiry that the job began with; None where somebody came to the counter."""
    return getattr(job, "enquiry", None)


def is_away(job: Job) -> bool:
    """Whether the gear of the job is still on its way."""
    enquiry = asked(job)
    return job.stage == Stage.ENQUIRY and enquiry is not None and enquiry.came_at is None
