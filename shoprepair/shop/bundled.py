"""Style sheets and programs that go as one: kept by the browser for good, compressed as it can read it."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers

from shoprepair.shop import bundles
from shoprepair.shop.smaller import reads

FOR_GOOD = "max-age=315360000, public, immutable"


class BundledMiddleware:
    """Answers for them before anybody asks who it is. It stands behind the one for single files."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        bundle = bundles.at(request.path) if request.method in {"GET", "HEAD"} else None
        return self.get_response(request) if bundle is None else answer(bundle, request)


def answer(bundle: bundles.Bundle, request: HttpRequest) -> HttpResponse:
    """The file in as few bytes as the browser can read, to be kept for good."""
    headers = {"Cache-Control": FOR_GOOD}
    if reads(request, "br"):
        content, headers["Content-Encoding"] = bundle.as_brotli, "br"
    elif reads(request, "gzip"):
        content, headers["Content-Encoding"] = bundle.as_gzip, "gzip"
    else:
        content = bundle.text
    headers["Content-Type"] = f"{bundles.TYPES[bundle.kind]}; charset=utf-8"
    response = HttpResponse(content, headers=headers)
    patch_vary_headers(response, ["Accept-Encoding"])
    return response
