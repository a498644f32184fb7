"""How views get at a job, and where they go when they are done with it."""

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.utils.http import url_has_allowed_host_and_scheme

from shoprepair.cover import standing
from shoprepair.jobs.models import Damage, Job


def fetch_job(number: int) -> Job:
    """The job of this number, with customer, gear, pattern, enquiry, and whether the gear was covered before;
    404 where there is none."""
    jobs = Job.objects.select_related("customer", "inflatable__pattern", "enquiry")
    return get_object_or_404(standing.read_with(jobs), number=number)


def fetch_damage(job: Job, number: int, *, removed: bool = False) -> Damage:
    """The job's damage of this number, unless it was removed; with `removed`, also then."""
    damages = job.damages.all() if removed else job.damages.filter(removed_at=None)
    damage = get_object_or_404(damages, number=number)
    damage.job = job
    return damage


def next_page(request: HttpRequest, otherwise: str) -> str:
    """The page that the form wants to go back to, if it is one of ours."""
    wanted = request.POST.get("next", "")
    ours = url_has_allowed_host_and_scheme(wanted, request.get_host(), require_https=request.is_secure())
    return wanted if ours and wanted.startswith("/") else otherwise
