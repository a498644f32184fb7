"""Which covers an inflatable has, and which of them still stand."""

from datetime import date

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from shoprepair.cover.models import Cover, Ending
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Job


def of(inflatable: Inflatable) -> list[Cover]:
    """Every cover ever given on it, in order, each with its ending where it has one."""
    return list(_with_endings().filter(inflatable=inflatable))


def read_with(jobs: QuerySet[Job]) -> QuerySet[Job]:
    """Read with each job whether its gear has a cover of another job, for pages: `before` asks seldom."""
    others = Cover.objects.filter(inflatable=OuterRef("inflatable")).exclude(job=OuterRef("pk"))
    return jobs.annotate(was_covered=Exists(others))


def before(job: Job) -> list[Cover]:
    """Every cover on the gear of a job that another job gave, as `of`."""
    if not vars(job).get("was_covered", True):
        return []
    return [cover for cover in of(job.inflatable) if cover.job_id != job.pk]


def standing(inflatable: Inflatable, on: date | None = None) -> list[Cover]:
    """Those that have not ended and whose last day is not over, today or `on` another day."""
    return list(standing_covers(on).filter(inflatable=inflatable))


def standing_covers(on: date | None = None) -> QuerySet[Cover]:
    """Every cover of the shop that stands, today or `on` another day."""
    lasts = Q(until=None) | Q(until__gte=on or timezone.localdate())
    return _with_endings().filter(lasts, ending=None)


def ending_of(cover: Cover) -> Ending | None:
    """Why it no longer stands, if it was ended; running out is no ending."""
    return getattr(cover, "ending", None)


def ran_out(cover: Cover, on: date | None = None) -> bool:
    """Whether its last day is over."""
    return cover.until is not None and cover.until < (on or timezone.localdate())


def stands(cover: Cover, on: date | None = None) -> bool:
    """Whether it has neither ended nor run out."""
    return ending_of(cover) is None and not ran_out(cover, on)


def _with_endings() -> QuerySet[Cover]:
    return Cover.objects.select_related("ending", "job").order_by("number")
