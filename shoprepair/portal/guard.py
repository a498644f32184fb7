"""What holds for every page under a status link: kept by nobody, told to nobody, changed by no visit."""

import datetime
import math
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
from shoprepair.portal.self_check.language import in_their_language
from shoprepair.shop import limits
from shoprepair.shop.languages import gettext_lazy

TOO_OLD = gettext_lazy(
    "Nothing was sent yet: the page was open for too long, or this browser keeps no cookies. "
    "Look at it once more and send it again."
)
WRONG_KEYS = "wrong-keys"
MOST_WRONG_KEYS, PER = 20, datetime.timedelta(hours=1)
"""From one address: far more than somebody mistypes, far less than guessing needs."""
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
        return missed(request) if link is None else view(request, link, **rest)

    return keyed(opened)


def keyed(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A public page whose address is a key: whoever tries many that open nothing waits, and tries no more."""

    @wraps(view)
    def limited(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        pause = limits.wait(WRONG_KEYS, limits.address(request), most=MOST_WRONG_KEYS, per=PER)
        return too_often(request, pause) if pause else view(request, *args, **kwargs)

    return public(limited)


def public(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A page that anyone may open, in their language, with the headers of a page whose address is a key."""

    spoken = in_their_language(view)

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        response = spoken(request, *args, **kwargs)
        for name, value in HEADERS.items():
            response[name] = value
        return response

    # The form's origin is checked by the views themselves, so that what was typed is not lost.
    return login_not_required(csrf_exempt(csp(POLICY)(guarded)))


def gone(request: HttpRequest) -> HttpResponse:
    """The one answer to a link that was withdrawn, mistyped, or never was."""
    return render(request, "portal/gone.html", status=404)


def missed(request: HttpRequest) -> HttpResponse:
    """The same answer to a key that opens nothing, which counts against the address that it came from."""
    limits.note(WRONG_KEYS, limits.address(request))
    return gone(request)


def too_often(request: HttpRequest, pause: datetime.timedelta) -> HttpResponse:
    """The answer to whoever tried too many keys that open nothing, whether or not this one would."""
    minutes = math.ceil(pause / datetime.timedelta(minutes=1))
    answer = render(request, "portal/too_often.html", {"minutes": minutes}, status=429)
    answer["Retry-After"] = str(math.ceil(pause.total_seconds()))
    return answer


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
