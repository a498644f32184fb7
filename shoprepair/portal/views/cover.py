"""The page that the code on a cover record opens."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from shoprepair.portal.guard import gone, public


@public
@require_safe
def cover(request: HttpRequest, token: str) -> HttpResponse:
    """What the paper says."""
    return gone(request)


@public
@require_safe
def cover_pdf(request: HttpRequest, token: str) -> HttpResponse:
    """The paper itself."""
    return gone(request)


@public
def unknown(request: HttpRequest, **_rest: str) -> HttpResponse:
    """Any other address that begins as a cover page's does."""
    return gone(request)
