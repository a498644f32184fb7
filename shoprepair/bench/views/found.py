"""More was found inside: pin it, then write what it adds to the quote; agreed work goes on meanwhile."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shoprepair.bench.fetch import fetch_job
from shoprepair.jobs import damages
from shoprepair.jobs.words import damage_title
from shoprepair.pricing import quotes


@require_safe
def found(request: HttpRequest, number: int) -> HttpResponse:
    """What is pinned but not agreed, and where to go on."""
    job = fetch_job(number)
    new = set(quotes.not_quoted(job))
    more = [
        {"damage": one, "title": damage_title(one, request.units)}
        for one in damages.live(job)
        if one.number in new
    ]
    return render(
        request, "bench/found.html", {"job": job, "more": more, "out": quotes.waiting_addition(job)}
    )
