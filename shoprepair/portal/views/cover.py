"""The page that the code on a cover record opens: what its paper says, and nothing of any customer."""

from collections.abc import Callable
from functools import wraps
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shoprepair.cover import links
from shoprepair.cover.models import CoverLink
from shoprepair.papers import cover_record, cover_words
from shoprepair.papers.answer import pdf_response
from shoprepair.papers.cover_drawing import drawing
from shoprepair.portal.guard import gone, keyed, missed
from shoprepair.portal.page import base_url
from shoprepair.shop.units import units_for

TAG = "#cover-"


def by_cover_link(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Give a view the live cover link that the token opens; where there is none, the page that says so."""

    @wraps(view)
    def opened(request: HttpRequest, token: str, **rest: Any) -> HttpResponse:
        link = links.find(token)
        return missed(request) if link is None else view(request, link, token, **rest)

    return keyed(opened)


@by_cover_link
@require_safe
def cover(request: HttpRequest, link: CoverLink, token: str) -> HttpResponse:
    """Each repair and its cover as it stands today, in the shop's units whoever looks."""
    zone = ZoneInfo(request.shop.time_zone)
    told = cover_words.told(link.inflatable, units_for(None, request.shop), zone, timezone.localdate())
    context = {
        "told": told,
        "drawing": drawing(told, link=TAG),
        "cautions": cover_record.CAUTIONS,
        "today": timezone.localdate(),
        "token": token,
        "gear": link.inflatable if request.user.is_authenticated else None,
    }
    return render(request, "portal/cover.html", context)


@by_cover_link
@require_safe
def cover_pdf(request: HttpRequest, link: CoverLink, token: str) -> HttpResponse:
    """The paper itself, printed anew."""
    del token
    try:
        content = cover_record.render(link.inflatable, paper=request.shop.paper, base_url=base_url(request))
    except cover_record.NothingCovered:
        return gone(request)
    return pdf_response(content, "cover-record.pdf")


@keyed
def unknown(request: HttpRequest, **_rest: str) -> HttpResponse:
    """Any other address that begins as a cover page's does."""
    return missed(request)
