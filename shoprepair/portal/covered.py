"""From the page of a visit that is over to the page of what its repairs are covered for."""

from shoprepair.cover import links
from shoprepair.jobs import ownership
from shoprepair.jobs.models import Job, Stage


def cover_page(job: Job) -> str:
    """The address of the gear's cover record, while the gear is still this customer's; else empty.

    Who passed it on reads nothing of what is repaired on it for somebody else.
    """
    if job.stage != Stage.HANDED_BACK or not job.covers.exists():
        return ""
    if ownership.owner(job.inflatable) != job.customer:
        return ""
    link = links.current(job.inflatable)
    return links.path(link) if link else ""
