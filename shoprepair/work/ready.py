"""Telling the customer that the gear is ready to be fetched, and what is to be paid."""

from typing import Any

from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Stage
from shoprepair.shop import journal, outbox, settings
from shoprepair.shop.models import Letter, Staff
from shoprepair.shop.said import gettext
from shoprepair.work.invoices import NOUGHT, owed


def tell(job: Job, who: Staff, base_url: str = "") -> Letter | None:
    """Write the letter “ready”, in the caller's transaction; None where no e-mail address is known."""
    if not job.customer.email:
        return None
    owing, link = owed(job), links.current(job)
    address = base_url or settings.current().web_address
    url = links.url(link, address) if link and address else ""

    def context() -> dict[str, str]:
        return {
            "customer": job.customer.name,
            "job": str(job),
            "gear": str(job.inflatable),
            "link": url,
            "total": owing.said(max(owing.due, NOUGHT)),
        }

    letter = outbox.write(job.customer.email, "ready", context, about=job)
    journal.record(job, "ready.told", gettext("A letter says that it is ready to be fetched."), who=who)
    return letter


def on_moved(job: Job, start: str, to: str, who: Staff | None, **_: Any) -> None:
    """Receives the signal that a job's stage changed; what comes back from being handed back is no news."""
    if to == Stage.READY and start != Stage.HANDED_BACK and who is not None:
        tell(job, who)
