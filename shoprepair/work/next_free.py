"""When a usual repair would be ready if it came in today: what somebody is told who only asks.

Reckoned with the forecasts of all jobs, behind which it stands, and read from there.
"""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils import timezone

from shoprepair.mechanics.description import Band
from shoprepair.work import waiting
from shoprepair.work.models import NextFree
from shoprepair.work.promise import Promised
from shoprepair.work.tasks import JobToDo

NUMBER = 0
"""Of the job that there is not: real ones count from one."""
FRESH = datetime.timedelta(days=3)
"""For so long the dates are told to anybody: a bench fills up."""
_ONE_ROW = 1


@dataclass(frozen=True, slots=True)
class NextFreeDates:
    """From when to when it would likely be ready."""

    likely_on: datetime.date
    late_on: datetime.date


def read(now: datetime.datetime | None = None) -> NextFreeDates | None:
    """The dates as reckoned last; None where they are not known, grew old or are past."""
    now = now or timezone.now()
    kept = NextFree.objects.filter(pk=_ONE_ROW, made_at__gt=now - FRESH).first()
    if kept is None or kept.likely_on is None or kept.late_on is None:
        return None
    if kept.likely_on < timezone.localdate(now):
        return None
    return NextFreeDates(kept.likely_on, kept.late_on)


def usual_job(ahead: Iterable[JobToDo], now: datetime.datetime, usual: waiting.Usual) -> JobToDo:
    """A job with one usual damage that comes in now, behind all others, so that it puts off none of them."""
    promised = max((job.promised_on for job in ahead), default=now.date())
    return JobToDo(
        number=NUMBER,
        band=Band.WATCH,
        urgency=0,
        promised_on=max(promised, now.date()) + datetime.timedelta(days=1),
        joined_at=now,
        steps=waiting.steps(usual.work(1), usual),
    )


def keep(found: Promised | None, now: datetime.datetime) -> None:
    """Keep the dates, or that none are known."""
    dates = {"likely_on": found.likely_on, "late_on": found.late_on} if found else {}
    unknown = {"likely_on": None, "late_on": None}
    NextFree.objects.update_or_create(pk=_ONE_ROW, defaults={**unknown, **dates, "made_at": now})
