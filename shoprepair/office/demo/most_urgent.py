"""The ten most urgent open jobs with the figures that put them there, as plain text."""

from collections.abc import Iterable

from shoprepair.jobs import damages, words
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units, units_for

HEAD = ("Job", "λ", "Urgency", "Band", "Stage", "Inflatable", "What is wrong")


def table(count: int = 10) -> str:
    """A line a job, most dangerous first."""
    units = units_for(None, current())
    open_jobs = Job.objects.filter(is_open=True).select_related("inflatable__pattern")
    rows = [_row(job, units) for job in open_jobs.order_by("rank", "promised_on", "id")[:count]]
    return "\n".join(_aligned([HEAD, *rows]))


def _row(job: Job, units: Units) -> tuple[str, ...]:
    found = damages.live(job)
    wrong, figure = words.what_is_wrong(job, found, units)
    return (
        str(job),
        _load_ratio(found),
        str(job.urgency),
        job.band,
        Stage(job.stage).label,
        str(job.inflatable.pattern),
        f"{wrong} {figure}".strip(),
    )


def _load_ratio(found: Iterable[Damage]) -> str:
    """Of the worst damage; a burst has nothing left to divide by."""
    worst = max(found, key=lambda damage: damage.urgency, default=None)
    if worst is None or not worst.assessment:
        return "–"
    return "∞" if worst.load_ratio is None else f"{worst.load_ratio:.2f}"


def _aligned(rows: list[tuple[str, ...]]) -> list[str]:
    """In columns as wide as their widest entry; the last one is free to run on."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEAD) - 1)]
    return ["  ".join([*map(str.ljust, row, widths), row[-1]]).rstrip() for row in rows]
