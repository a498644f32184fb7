"""Jobs whose promised day is over, and those that will not be ready on theirs."""

import datetime
from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.work import forecast
from shoprepair.work.forecast import LATE, PLANNED
from shoprepair.work.saying import days

_ROW = ("customer", "inflatable__pattern", "forecast")


@dataclass(frozen=True, slots=True)
class Counts:
    late: int
    soon: int


def late(today: datetime.date) -> QuerySet[Job]:
    """Jobs with work before them whose promised day is over, the longest first.

    Gear that lies ready and is not fetched is not late, nor is what never came in.
    """
    return _open().filter(promised_on__lt=today)


def soon(today: datetime.date) -> QuerySet[Job]:
    """Jobs promised for today or later that will likely or perhaps not be ready by then, the next first."""
    return _open().filter(LATE, promised_on__gte=today)


def counts(today: datetime.date) -> Counts:
    """How many of each; in one statement."""
    found = _open().aggregate(
        late=Count("pk", filter=Q(promised_on__lt=today)),
        soon=Count("pk", filter=Q(promised_on__gte=today) & LATE),
    )
    return Counts(found["late"], found["soon"])


def words(job: Job, today: datetime.date) -> str:
    """'7 days late', 'likely 2 days late'; empty for a job that is neither."""
    if job.promised_on < today:
        return gettext("%(days)s late") % {"days": days((today - job.promised_on).days)}
    return forecast.lateness(job.promised_on, getattr(job, "forecast", None))


def _open() -> QuerySet[Job]:
    planned = Job.objects.filter(is_open=True, stage__in=PLANNED)
    return planned.select_related(*_ROW).order_by("promised_on", "id")
