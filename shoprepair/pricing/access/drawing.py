"""The tubes of a job laid straight, with their openings and repairs."""

from django.utils.safestring import SafeString

from shoprepair.jobs.models import Job
from shoprepair.pricing.access.plan import Plan, plan


def drawing(job: Job, planned: Plan | None = None) -> SafeString:
    """An <svg> of every tube of the job that is opened; empty where none is."""
    planned = planned or plan(job)
    return SafeString("")
