"""The bench hours of one week, person by person and job by job."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shoprepair.jobs.models import Job
from shoprepair.office.evening import Strip, strip
from shoprepair.shop.access import owner_only
from shoprepair.shop.weeks import IsoWeek
from shoprepair.work import used_hours
from shoprepair.work.used_hours import Timed, Used


@dataclass(slots=True)
class OnJob:
    """What one person spent on one job in the week."""

    job: Job
    minutes: int = 0
    runs: bool = False


class Person(NamedTuple):
    used: Used
    strip: Strip
    jobs: list[OnJob]


@owner_only
@require_safe
def week(request: HttpRequest, week: IsoWeek) -> HttpResponse:
    everybody = used_hours.of_week(week, timezone.now())
    page = {
        "week": week,
        "before": week.back(1),
        "after": week.back(-1) if week < IsoWeek.of(timezone.localdate()) else None,
        "people": [Person(used, strip(used), by_job(used.timed)) for used in everybody],
        "together": used_hours.together(everybody),
    }
    return render(request, "office/evening/bench_week.html", page)


def by_job(timed: Iterable[Timed]) -> list[OnJob]:
    """The same time job by job, in the order in which they were begun."""
    jobs: dict[int, OnJob] = {}
    for each in timed:
        on = jobs.setdefault(each.stint.job_id, OnJob(each.stint.job))
        on.minutes += each.minutes
        on.runs = on.runs or each.runs
    return list(jobs.values())
