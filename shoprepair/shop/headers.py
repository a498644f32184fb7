"""What every answer tells the browser, whoever made it: a page, a photo, a paper, a file, an error.

A view that needs it otherwise says so itself; what it says stands.
"""

from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers

GetResponse = Callable[[HttpRequest], HttpResponse]

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS", "TRACE"})
KEPT_BY_NOBODY = "private, no-store"
MAY_BE_FOUND = "all"
"""For the `X-Robots-Tag` of a page that search engines may show."""
NOT_NEEDED = (
    *("accelerometer", "autoplay", "browsing-topics", "display-capture", "encrypted-media"),
    *("fullscreen", "geolocation", "gyroscope", "hid", "idle-detection", "local-fonts", "magnetometer"),
    *("microphone", "midi", "payment", "picture-in-picture", "publickey-credentials-get", "serial", "usb"),
    "xr-spatial-tracking",
)
DEFAULTS = {
    "Cache-Control": KEPT_BY_NOBODY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": ", ".join(["camera=(self)", *(f"{power}=()" for power in NOT_NEEDED)]),
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}
NOTHING = "default-src 'none'; frame-ancestors 'none'"
SHOWN_ALONE = f"sandbox; {NOTHING}"
"""For what is no page of ours: should a browser take it for one, it can do nothing."""
_PAGES = ("text/html", "text/javascript")


class HeadersMiddleware:
    """Adds what an answer does not say itself. It stands first, so that no answer passes by it."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        for name, value in DEFAULTS.items():
            response.headers.setdefault(name, value)
        if not getattr(response, "xframe_options_exempt", False):
            response.headers.setdefault("X-Frame-Options", "DENY")
        if not response.headers.get("Content-Type", "text/html").startswith(_PAGES):
            response.headers["Content-Security-Policy"] = SHOWN_ALONE
        response.headers.setdefault("Content-Security-Policy", NOTHING)
        if _is_of_the_shop(request):
            # One address answers with a page or with a part of one; neither may be taken for the other.
            patch_vary_headers(response, ("HX-Request",))
        return response


class OwnFormsMiddleware:
    """Refuses what another site sends, by the word of the browser, on top of the key in each form.

    Browsers that say nothing are left to that key: [Fetch Metadata, W3C 2021, section 2.3].
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method not in SAFE_METHODS and request.headers.get("Sec-Fetch-Site") == "cross-site":
            return render(request, "403_elsewhere.html", status=HTTPStatus.FORBIDDEN)
        return self.get_response(request)


def leaves_nothing(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Decorate the log-out so that the browser throws away the photos and pages it has kept.

    Not its storage: the self-check that a phone keeps for the beach is nobody's secret.
    """

    @wraps(view)
    def left(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        response = view(request, *args, **kwargs)
        if response.status_code < HTTPStatus.BAD_REQUEST:
            response.headers["Clear-Site-Data"] = '"cache"'
        return response

    return left


def _is_of_the_shop(request: HttpRequest) -> bool:
    """Whether the address is one of those behind the log-in."""
    match = request.resolver_match
    return match is not None and bool(getattr(match.func, "login_required", True))
