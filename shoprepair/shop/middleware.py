"""Every request knows its shop, the reader's units and the shop's time of day."""

from collections.abc import Callable
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import resolve_url
from django.utils import timezone, translation
from django.utils.functional import SimpleLazyObject
from django.utils.translation import gettext

from shoprepair.shop.headers import SAFE_METHODS
from shoprepair.shop.keeping import page_before
from shoprepair.shop.languages import language_for
from shoprepair.shop.units import units_for
from shoprepair.shop.who import shop_of


class ShopMiddleware:
    """Sets `request.shop` and `request.units`; times are as the shop's clock shows them, words in the
    reader's language."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if getattr(request, "asks_of_no_shop", False):
            return self.get_response(request)
        request.shop = SimpleLazyObject(lambda: shop_of(request))  # type: ignore[attr-defined]
        request.units = SimpleLazyObject(lambda: units_for(request.user, request.shop))  # type: ignore[attr-defined]
        # Both are set once the view is known, and are as before when the page is written.
        with timezone.override(timezone.get_default_timezone()), translation.override(settings.LANGUAGE_CODE):
            return _whole_page_log_in(request, self.get_response(request))

    def process_view(self, request: HttpRequest, view: Callable[..., HttpResponse], *_rest: Any) -> None:
        """By now it is known whether somebody is logged in, and the shop came with it."""
        if hasattr(request, "shop"):
            timezone.activate(_zone(request.shop.time_zone))
            # Whoever need not log in was not asked for, and is not read for the sake of a language.
            person = request.user if getattr(view, "login_required", True) else None
            translation.activate(language_for(person, request.shop))


def _zone(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")


def _whole_page_log_in(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """Lead somebody logged out to the log-in, and from there back to the page that they were on.

    A fragment's redirect would be followed unseen, and the log-in form would land inside a table cell. What
    a form was sent to is often no page at all.
    """
    log_in, target = resolve_url(settings.LOGIN_URL), urlsplit(response.get("Location", ""))
    if target.path != log_in:
        return response
    if getattr(request, "htmx", False):
        page = request.htmx.current_url_abs_path or "/"  # type: ignore[attr-defined]
        translation.activate(request.shop.language)  # type: ignore[attr-defined]
        answer = HttpResponse(gettext("Your log-in has ended. Please log in again."), status=401)
        answer["HX-Redirect"] = f"{log_in}?{urlencode({'next': page})}"
        return answer
    leads_to = parse_qs(target.query).get("next", [])
    was_sent = request.method not in SAFE_METHODS and leads_to == [request.get_full_path()]
    if was_sent and (page := page_before(request)):
        response["Location"] = f"{log_in}?{urlencode({'next': page})}"
    return response
