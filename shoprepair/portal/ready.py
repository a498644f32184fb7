"""When a customer's gear is likely ready: the dates alone, for who else is in hand is nobody's business."""

from shoprepair.jobs.models import Job, Stage
from shoprepair.work import forecast
from shoprepair.work.to_do import IN_WORK

AGREED = (*IN_WORK, Stage.HOLD_TEST)


def ready(job: Job) -> str:
    """'Likely ready Thu 3 to Mon 7 December.'; empty where none is known, or none is asked for."""
    found = forecast.of(job)
    if found is None or not found.known:
        return ""
    if job.stage in AGREED:
        return f"Likely ready {found.dates}."
    if job.stage == Stage.QUOTE_OUT:
        return f"If you say yes soon, likely ready {found.dates}."
    return ""
