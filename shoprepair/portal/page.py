"""All that the page under a status link shows."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shoprepair.jobs import conversation, links
from shoprepair.jobs.models import StatusLink
from shoprepair.portal import findings
from shoprepair.portal.forms.question import QuestionForm
from shoprepair.portal.safety import safety
from shoprepair.portal.standing import standing
from shoprepair.shop.units import units_for


def page(request: HttpRequest, link: StatusLink, *, status: int = 200, **shown: Any) -> HttpResponse:
    """The whole page; `shown` takes the place of what it would show by itself, such as a form sent back."""
    # The shop's units, whoever is logged in: the customer and the shop look at one page.
    job, units = link.job, units_for(None, request.shop)
    damages = findings.live_damages(job)
    found = findings.findings(job, damages, units)
    said = list(conversation.messages(job))
    context = {
        "job": job,
        "token": links.token(link),
        "standing": standing(job, timezone.localdate()),
        "safety": safety(job, damages, units),
        "found": found[: findings.SHOWN_AT_FIRST],
        "found_more": found[findings.SHOWN_AT_FIRST :],
        "drawing": findings.drawing(job, damages, units),
        "photos": [photo for photo in findings.shared_photos(job) if photo.damage_id is None],
        "said": said,
        "question": QuestionForm(initial={"name": _known_name(said)}),
    }
    return render(request, "portal/status.html", {**context, **shown}, status=status)


def _known_name(said: list[Any]) -> str:
    """The name that the customer last asked under."""
    return next((message.name for message in reversed(said) if message.by_id is None), "")
