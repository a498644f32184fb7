"""The letter that an enquiry has come. It has no word of the sender, who may have given anybody's address."""

from shoprepair.jobs import links
from shoprepair.jobs.models import Enquiry
from shoprepair.shop import outbox
from shoprepair.shop.outbox.texts import TEXTS
from shoprepair.shop.settings import current

CODE = "enquiry-received"


def write(enquiry: Enquiry, base_url: str = "") -> None:
    """Write it in their language, where they gave an e-mail address and the shop knows its own."""
    job = enquiry.job
    base_url = base_url or current().web_address
    link = links.current(job)
    if job.customer.email and base_url and link:
        context = {"job": str(job), "link": links.url(link, base_url)}
        outbox.write(job.customer.email, code(enquiry.language), context, about=job)


def code(language: str) -> str:
    """Which of the shop's letters it is in this language; the shop's own where there is none."""
    of_theirs = f"{CODE}-{language.partition('-')[0]}"
    return of_theirs if of_theirs in TEXTS else CODE
