"""All that the page under a status link shows."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shoprepair.jobs import conversation, links
from shoprepair.jobs.models import Job, Message, StatusLink
from shoprepair.portal import findings
from shoprepair.portal.costs import costs
from shoprepair.portal.forms.answer import DECLINE, Answered
from shoprepair.portal.forms.question import QuestionForm
from shoprepair.portal.record import Record
from shoprepair.portal.safety import safety
from shoprepair.portal.standing import standing
from shoprepair.shop.units import Units, units_for


def page(
    request: HttpRequest,
    link: StatusLink,
    *,
    status: int = 200,
    sent: Answered | None = None,
    **shown: Any,
) -> HttpResponse:
    """The whole page; with an answer that was `sent`, as the customer chose and typed.

    `shown` takes the place of what the page would show by itself, such as a form sent back.
    """
    # The shop's units, whoever is logged in: the customer and the shop look at one page.
    units = units_for(None, request.shop)
    job, said = link.job, list(conversation.messages(link.job))
    priced = costs(job, sent)
    context = {
        "job": job,
        "token": links.token(link),
        "standing": standing(job, timezone.localdate()),
        **_found(job, units, priced["record"]),
        **priced,
        "answer_name": sent.name if sent else "",
        "declining": sent is not None and sent.act == DECLINE,
        "said": said,
        "question": QuestionForm(initial={"name": _known_name(said, priced["record"])}),
    }
    return render(request, "portal/status.html", {**context, **shown}, status=status)


def base_url(request: HttpRequest) -> str:
    """Where the customer reaches the shop: the address in its settings, else the one just used."""
    return request.shop.web_address or request.build_absolute_uri("/")


def _found(job: Job, units: Units, answered: Record | None) -> dict[str, Any]:
    damages = findings.live_damages(job)
    found = findings.findings(job, damages, units)
    return {
        "safety": safety(job, damages, units, answered.not_mended if answered else ()),
        "drawing": findings.drawing(job, damages, units),
        "crowded": len(found) > findings.ROOMY,
        "found": found[: findings.SHOWN_AT_FIRST],
        "found_more": found[findings.SHOWN_AT_FIRST :],
        "photos": [photo for photo in findings.shared_photos(job) if photo.damage_id is None],
    }


def _known_name(said: list[Message], answered: Record | None) -> str:
    """The name that the customer last asked under, or else answered a quote under."""
    asked = (message.name for message in reversed(said) if message.by_id is None)
    return next(asked, answered.name if answered else "")
