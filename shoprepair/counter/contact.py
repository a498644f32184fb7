"""How the shop and the customer reach one another about a job: the status link, what was said, letters."""

from typing import Any

from django.http import HttpRequest

from shoprepair.counter.keys import new_key
from shoprepair.jobs import conversation, links
from shoprepair.jobs.models import Job
from shoprepair.papers.marks import qr
from shoprepair.shop import outbox


def base_url(request: HttpRequest) -> str:
    """Where people outside the shop reach it: the address in the settings, else the one just used."""
    return request.shop.web_address or request.build_absolute_uri("/")


def contact(job: Job, request: HttpRequest) -> dict[str, Any]:
    """What the job sheet says about the way to the customer and back."""
    return {
        **link_card(job, request),
        "said": list(conversation.messages(job).select_related("by")),
        "reply_key": new_key(),
        "longest_reply": conversation.LONGEST_TEXT,
        "letters": outbox.letters(job),
    }


def link_card(job: Job, request: HttpRequest) -> dict[str, Any]:
    """The live status link with its whole address and its code; nothing where there is none."""
    link = links.current(job)
    if link is None:
        return {"link": None}
    address = links.url(link, base_url(request))
    return {"link": link, "link_url": address, "link_qr": qr(address), "link_key": new_key()}
