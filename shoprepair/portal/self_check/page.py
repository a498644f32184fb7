"""What every page of the self-check shares: open to all, told by its address, framed by one site only."""

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any
from urllib.parse import urlsplit

from csp.constants import NONE, SELF
from csp.decorators import csp
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.cache import patch_vary_headers
from django.utils.translation import get_language

from shoprepair.portal.self_check.language import in_their_language, switches
from shoprepair.shop.headers import MAY_BE_FOUND

POLICY = {
    "default-src": [NONE],
    "script-src": [SELF],
    "style-src": [SELF],
    "img-src": [SELF],
    "font-src": [SELF],
    "connect-src": [SELF],
    "worker-src": [SELF],
    "manifest-src": [SELF],
    "form-action": [SELF],
    "base-uri": [NONE],
    "object-src": [NONE],
}
AT_HAND = "private, max-age=300"
"""Back and forth among the questions costs no signal."""


def open_page(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A page that anyone may open, in their language; closed when the shop has closed the self-check."""

    @wraps(view)
    def opened(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        shop = request.shop  # type: ignore[attr-defined]
        response = view(request, *args, **kwargs) if shop.self_check_open else closed(request)
        response.headers.setdefault("Cache-Control", AT_HAND)
        response.headers.setdefault("X-Robots-Tag", MAY_BE_FOUND)
        patch_vary_headers(response, ("Sec-Fetch-Dest",))
        return response

    return login_not_required(_framed(in_their_language(opened)))


def shown(
    request: HttpRequest, template: str, context: Mapping[str, Any], *, status: int = 200
) -> HttpResponse:
    """A page without a form: it neither reads nor sets a cookie."""
    return HttpResponse(render_to_string(template, {**surroundings(request), **context}), status=status)


def surroundings(request: HttpRequest) -> dict[str, Any]:
    """What the base template needs: `shop`, `language`, `languages`, `in_frame`."""
    return {
        "shop": request.shop,  # type: ignore[attr-defined]
        "language": get_language(),
        "languages": list(switches(request)),
        "in_frame": request.headers.get("Sec-Fetch-Dest") == "iframe",
    }


def closed(request: HttpRequest) -> HttpResponse:
    """The self-check is not offered: whom to call instead."""
    response = shown(request, "portal/self_check/closed.html", {}, status=404)
    response["Cache-Control"] = "no-store"
    return response


def origin(site: str) -> str:
    """The scheme and host of an address, as a policy names it; empty where there is none."""
    parts = urlsplit(site.strip())
    whole = parts.scheme in {"http", "https"} and parts.hostname and "@" not in parts.netloc
    return f"{parts.scheme}://{parts.netloc}" if whole and not set(parts.netloc) & set(" ;,'\"") else ""


def _framed(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Let the one site that the shop has named show the page in a frame, and no other."""

    @wraps(view)
    def framed(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        site = origin(request.shop.self_check_site)  # type: ignore[attr-defined]
        answer = csp({**POLICY, "frame-ancestors": [site or NONE]})(view)(request, *args, **kwargs)
        if site:
            answer.xframe_options_exempt = True
        return answer

    return framed
