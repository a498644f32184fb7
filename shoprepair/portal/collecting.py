"""What somebody needs to know who comes for their gear: what is still to pay, and when the shop is open."""

from typing import NamedTuple

from shoprepair.jobs.models import Job, Stage
from shoprepair.shop import opening
from shoprepair.shop.models import Shop
from shoprepair.work.invoices import owed


class Collecting(NamedTuple):
    """Beside "ready to be collected"."""

    due: str
    """Empty where nothing is to pay."""
    hours: tuple[tuple[str, str], ...]
    """Days and hours; empty where the shop has not said them."""


def collecting(job: Job, shop: Shop) -> Collecting | None:
    """For gear that waits to be collected; None for any other."""
    if job.stage not in (Stage.READY, Stage.DECLINED):
        return None
    owing = owed(job)
    return Collecting(owing.said(owing.due) if owing.due > 0 else "", opening.hours(shop))
