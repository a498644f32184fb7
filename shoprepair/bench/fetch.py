"""How the bench's views get at a job and its steps."""

from django.shortcuts import get_object_or_404

from shoprepair.jobs.models import Job
from shoprepair.work.models import Step


def fetch_job(number: int) -> Job:
    """The job of this number, with customer, gear and pattern; 404 where there is none."""
    return get_object_or_404(Job.objects.select_related("customer", "inflatable__pattern"), number=number)


def fetch_step(number: int, pk: int) -> Step:
    """A step of the job of this number; 404 where there is none."""
    return get_object_or_404(Step.objects.select_related("job"), pk=pk, job__number=number)
