"""What holds for every page under a status link: kept by nobody, told to nobody, changed by no visit."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from csp.constants import NONE, SELF
from csp.decorators import csp
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import CsrfViewMiddleware
from django.shortcuts import render
from django.views.decorators.csrf import csrf_exempt

from shoprepair.jobs import links

TOO_OLD = (
    "Nothing was sent yet: the page was open for too long, or this browser keeps no cookies. "
    "Look at it once more and send it again."
)
HEADERS = {
    "Cache-Control": "private, no-store",
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}
POLICY = {
    "default-src": [NONE],
    "script-src": [SELF],
    "style-src": [SELF],
    "img-src": [SELF],
    "font-src": [SELF],
    "form-action": [SELF],
    "frame-ancestors": [NONE],
    "base-uri": [NONE],
    "object-src": [NONE],
}


def by_link(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Give a view the live link that the token opens; where there is none, answer with the page that says so.

    The view checks with `from_our_form` whatever it changes.
    """

    @wraps(view)
    def opened(request: HttpRequest, token: str, **rest: Any) -> HttpResponse:
        link = links.find(token)
        return gone(request) if link is None else view(request, link, **rest)

    return public(opened)


def public(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A page that anyone may open, with the headers of a page whose address is a key."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        response = view(request, *args, **kwargs)
        for name, value in HEADERS.items():
            response[name] = value
        return response

    # The form's origin is checked by the views themselves, so that what was typed is not lost.
    return login_not_required(csrf_exempt(csp(POLICY)(guarded)))


def gone(request: HttpRequest) -> HttpResponse:
    """The one answer to a link that was withdrawn, mistyped, or never was."""
    return render(request, "portal/gone.html", status=404)


def from_our_form(request: HttpRequest) -> bool:
    """Whether what was sent comes from a page of ours, shown to this same browser."""
    return _Check(lambda _: HttpResponse()).process_view(request, None, (), {}) is None


class _Check(CsrfViewMiddleware):
    def _origin_verified(self, request: HttpRequest) -> bool:
        # A page that sends no referrer has its own forms come from "null" too.
        if request.META["HTTP_ORIGIN"] == "null":
            return request.META.get("HTTP_SEC_FETCH_SITE", "same-origin") == "same-origin"
        return super()._origin_verified(request)

    def _reject(self, _request: HttpRequest, reason: str) -> str:
        return reason
