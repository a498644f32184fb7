"""What follows an enquiry: its number, how to pack, what happens next, and the slip for the parcel."""

from collections.abc import Callable
from functools import wraps
from typing import Any
from urllib.parse import urljoin

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import get_language
from django.views.decorators.http import require_safe

from shoprepair.jobs import links
from shoprepair.jobs.advice import verdicts
from shoprepair.jobs.models import Enquiry, Stage, StatusLink
from shoprepair.papers import parcel_slip
from shoprepair.papers.answer import pdf_response
from shoprepair.portal.guard import by_link, gone
from shoprepair.portal.page import base_url
from shoprepair.portal.self_check.page import surroundings


def _of_enquiry(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A page under the status link of an enquiry whose gear has not come in yet, in their language."""

    @wraps(view)
    def opened(request: HttpRequest, link: StatusLink, **rest: Any) -> HttpResponse:
        found = Enquiry.objects.filter(job=link.job, job__stage=Stage.ENQUIRY).first()
        return gone(request) if found is None else view(request, link, found, **rest)

    return by_link(opened)


@_of_enquiry
@require_safe
def sent(request: HttpRequest, link: StatusLink, enquiry: Enquiry) -> HttpResponse:
    """It was sent: the number first, then what to do."""
    job = link.job
    strictest = max(verdicts.by_code(told["verdict"]) for told in enquiry.advice)
    context = {
        "job": job,
        "enquiry": enquiry,
        "by_post": enquiry.comes == Enquiry.Comes.BY_POST,
        "verdict": strictest,
        "token": links.token(link),
        "own_page": urljoin(base_url(request), links.path(link)),
        "language": get_language(),
        "without_photos": request.GET.get("without") == "photos",
        **surroundings(request),
    }
    return render(request, "portal/self_check/sent.html", context)


@_of_enquiry
@require_safe
def slip(request: HttpRequest, link: StatusLink, enquiry: Enquiry) -> HttpResponse:
    """The slip that goes into the parcel, as a PDF."""
    content = parcel_slip.render(
        enquiry,
        paper=request.shop.paper,  # type: ignore[attr-defined]
        base_url=base_url(request),
        language=get_language() or enquiry.language,
    )
    return pdf_response(content, f"parcel-slip-{link.job}.pdf")
