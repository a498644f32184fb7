"""The bench: what to take next, and taking it."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from shoprepair.bench import queue
from shoprepair.bench.fetch import fetch_job
from shoprepair.bench.forms.ticks import TakeJobForm
from shoprepair.jobs.stages import StageRefused
from shoprepair.work import next_up


@require_safe
def bench(request: HttpRequest) -> HttpResponse:
    return _page(request)


@require_POST
def take(request: HttpRequest) -> HttpResponse:
    """The job comes to the bench, and its steps are shown. Taken twice, it is there once."""
    form = TakeJobForm(request.POST)
    if not form.is_valid():
        raise Http404
    job = fetch_job(form.cleaned_data["number"])
    try:
        next_up.take(job, request.user)
    except StageRefused as refused:
        return _page(request, status=422, refused=refused.reasons, refused_job=job)
    return redirect(reverse("bench-job", args=[job.number]))


def _page(request: HttpRequest, *, status: int = 200, **said: Any) -> HttpResponse:
    context = queue.page(request.user, request.units) | said
    return render(request, "bench/bench.html", context, status=status)
