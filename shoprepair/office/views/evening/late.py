"""The jobs that are late, and those that will be."""

from datetime import date
from typing import NamedTuple

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shoprepair.jobs.models import Job
from shoprepair.shop.access import owner_only
from shoprepair.work import overdue

MOST = 200
"""So many of each are shown; a shop with more late has no use for a longer list."""


class Row(NamedTuple):
    job: Job
    words: str


def rows(jobs: QuerySet[Job], today: date, most: int) -> list[Row]:
    """The first of these jobs, each with how late it is."""
    return [Row(job, overdue.words(job, today)) for job in jobs[:most]]


@owner_only
@require_safe
def late(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    page = {
        "counts": overdue.counts(today),
        "late": rows(overdue.late(today), today, MOST),
        "soon": rows(overdue.soon(today), today, MOST),
        "most": MOST,
    }
    return render(request, "office/evening/late_jobs.html", page)
