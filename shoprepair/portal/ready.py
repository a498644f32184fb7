"""When a customer's gear is likely ready: the dates alone, for who else is in hand is nobody's business."""

from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.jobs.models import Job, Stage
from shoprepair.portal import days
from shoprepair.work import forecast
from shoprepair.work.to_do import IN_WORK

AGREED = (*IN_WORK, Stage.HOLD_TEST)


class Ready(NamedTuple):
    """When it is likely ready."""

    words: str = ""
    """'Likely ready Thursday 3 to Monday 7 December.'; empty where no date is known, or none is asked for."""
    behind: bool = False
    """Whether even the first of the dates is after the promise, so that these count and not that."""


def ready(job: Job) -> Ready:
    """The dates of the plan; where they are after what was promised, that is owned."""
    found = forecast.of(job)
    if (
        found is None
        or found.likely_on is None
        or found.late_on is None
        or job.stage not in (*AGREED, Stage.QUOTE_OUT)
    ):
        return Ready()
    dates = days.span(found.likely_on, found.late_on)
    asked, behind = job.stage == Stage.QUOTE_OUT, found.likely_on > job.promised_on
    if behind and asked:
        words = gettext(
            "It takes longer than we thought. If you say yes soon, it is likely ready %(dates)s."
        ) % {"dates": dates}
    elif behind:
        words = gettext("It takes longer than we thought. It is likely ready %(dates)s.") % {"dates": dates}
    elif asked:
        words = gettext("If you say yes soon, likely ready %(dates)s.") % {"dates": dates}
    else:
        words = gettext("Likely ready %(dates)s.") % {"dates": dates}
    return Ready(words, behind)
