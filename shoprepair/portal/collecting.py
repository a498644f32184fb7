"""What somebody needs to know who comes for their gear: what is still to pay, and when the shop is open."""

from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.jobs.models import Job, Stage
from shoprepair.shop import opening
from shoprepair.shop.models import Shop
from shoprepair.work.invoices import Owed, owed


class Collecting(NamedTuple):
    """Beside "ready to be collected"."""

    due: str
    """Empty where nothing is to pay."""
    paid: str
    """How much of the whole is paid, where some of it is; so that what is to pay meets what was agreed."""
    hours: tuple[tuple[str, str], ...]
    """Days and hours; empty where the shop has not said them."""


def collecting(job: Job, shop: Shop) -> Collecting | None:
    """For gear that waits to be collected; None for any other."""
    if job.stage not in (Stage.READY, Stage.DECLINED):
        return None
    owing = owed(job)
    due = owing.said(owing.due) if owing.due > 0 else ""
    return Collecting(due, _paid(owing) if due else "", opening.hours(shop))


def _paid(owing: Owed) -> str:
    if owing.paid <= 0:
        return ""
    return gettext("%(paid)s of %(total)s is paid") % {
        "paid": owing.said(owing.paid),
        "total": owing.said(owing.total),
    }
