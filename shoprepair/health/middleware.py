"""Whoever watches the shop asks for it by whatever name, and is answered without a database."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

PATHS = ("/alive/", "/ready/")


class HealthMiddleware:
    """Lets the questions of who watches come through: under any host, and while the shop cannot be read."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path in PATHS:
            # Neither answer holds an address, so whom it was asked of does not matter.
            request.META["HTTP_HOST"] = "localhost"
            request.META.pop("HTTP_X_FORWARDED_HOST", None)
            request.asks_of_no_shop = True  # type: ignore[attr-defined]
        return self.get_response(request)
