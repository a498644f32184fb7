"""All steps are over: the job goes on to its hold test."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from shoprepair.bench.fetch import fetch_job
from shoprepair.bench.views.job import show
from shoprepair.jobs import stages
from shoprepair.jobs.models import Stage


@require_POST
def all_done(request: HttpRequest, number: int) -> HttpResponse:
    """Sent twice, the job has gone on once."""
    job = fetch_job(number)
    try:
        if job.stage != Stage.HOLD_TEST:
            stages.move(job, Stage.HOLD_TEST, who=request.user)
    except stages.StageRefused as refused:
        return show(request, number, status=422, refused=str(refused))
    return redirect("hold-test", number)
