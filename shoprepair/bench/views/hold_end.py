"""What a job waited for is there: the bench goes on with it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shoprepair.bench.fetch import fetch_job
from shoprepair.jobs import stages


@require_POST
def hold_end(request: HttpRequest, number: int) -> HttpResponse:
    """Lift the hold that was seen; a job that waits for something else meanwhile goes on waiting."""
    job, seen = fetch_job(number), request.POST.get("hold", "")
    if job.hold and job.hold == seen:
        stages.set_hold(job, "", who=request.user)
        messages.success(request, gettext("Nothing holds this job."))
    elif job.hold:
        messages.warning(
            request,
            gettext("The job waits for something else meanwhile: %(hold)s.")
            % {"hold": job.get_hold_display()},
        )
    return redirect("bench-job", number)
