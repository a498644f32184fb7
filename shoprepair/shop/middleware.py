"""Every request knows its shop, the reader's units and the shop's time of day."""

from collections.abc import Callable
from urllib.parse import urlencode, urlsplit
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import resolve_url
from django.utils import timezone
from django.utils.functional import SimpleLazyObject

from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for


class ShopMiddleware:
    """Sets `request.shop` and `request.units`, and lets times be read as the shop's clock shows them."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if getattr(request, "asks_of_no_shop", False):
            return self.get_response(request)
        request.shop = current()  # type: ignore[attr-defined]
        request.units = SimpleLazyObject(lambda: units_for(request.user, request.shop))  # type: ignore[attr-defined]
        with timezone.override(_zone(request.shop.time_zone)):  # type: ignore[attr-defined]
            return _whole_page_log_in(request, self.get_response(request))


def _zone(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")


def _whole_page_log_in(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """Answer a fragment's request of somebody logged out so that the whole page goes to the log-in.

    A redirect would be followed unseen, and the log-in form would land inside a table cell.
    """
    target = urlsplit(response.get("Location", "")).path
    if not target or not getattr(request, "htmx", False):
        return response
    log_in = resolve_url(settings.LOGIN_URL)
    if target != log_in:
        return response
    page = request.htmx.current_url_abs_path or "/"  # type: ignore[attr-defined]
    answer = HttpResponse("Your log-in has ended. Please log in again.", status=401)
    answer["HX-Redirect"] = f"{log_in}?{urlencode({'next': page})}"
    return answer
