"""More was found inside: pin it, then write what it adds to the quote; agreed work goes on meanwhile."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shoprepair.bench.fetch import fetch_job
from shoprepair.jobs import damages
from shoprepair.jobs.models import Job
from shoprepair.jobs.words import damage_title
from shoprepair.pricing.models import Quote


@require_safe
def found(request: HttpRequest, number: int) -> HttpResponse:
    """What is pinned but not agreed, and where to go on."""
    job = fetch_job(number)
    agreed = _agreed(job)
    more = [
        {"damage": one, "title": damage_title(one, request.units)}
        for one in damages.live(job)
        if one.number not in agreed
    ]
    out = job.quotes.filter(state=Quote.State.OUT).exclude(addition_to=None).last()
    return render(request, "bench/found.html", {"job": job, "more": more, "out": out})


def _agreed(job: Job) -> set[int]:
    """Numbers of the damages that an accepted quote speaks of."""
    lines = job.quotes.filter(state=Quote.State.ACCEPTED).values_list("lines__damages", flat=True)
    return {number for numbers in lines for number in numbers or ()}
