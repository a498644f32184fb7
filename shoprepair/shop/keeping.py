"""What was typed is kept by the browser until the form was taken: here it is told that it was."""

import re
from collections.abc import Callable
from http import HTTPStatus
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import resolve_url
from django.utils.http import url_has_allowed_host_and_scheme

FIELD = "kept-as"
"""The field in which `static/js/keep.js` says under which name it keeps what was typed."""
A_MOMENT_S = 300
_NAME = re.compile(r"[a-z0-9]{1,40}")


class TakenMiddleware:
    """Names in a cookie the form that was taken, for the page that comes next; it tells nothing else."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if request.method == "POST" and _was_taken(response):
            name = request.POST.get(FIELD, "")
            if _NAME.fullmatch(name):
                # The page's script reads it, and throws it away.
                response.set_cookie(
                    cookie_name(), name, max_age=A_MOMENT_S, secure=settings.HTTPS, samesite="Strict"
                )
        return response


def cookie_name() -> str:
    """As the shop's other cookies: bound to this host where the line is encrypted."""
    return "__Host-taken" if settings.HTTPS else "taken"


def page_before(request: HttpRequest) -> str:
    """The page of ours from which a form was sent; empty where the browser does not say it."""
    came_from = request.headers.get("Referer", "")
    if not url_has_allowed_host_and_scheme(came_from, request.get_host()):
        return ""
    parts = urlsplit(came_from)
    return f"{parts.path or '/'}{'?' if parts.query else ''}{parts.query}"


def _was_taken(response: HttpResponse) -> bool:
    if response.status_code >= HTTPStatus.BAD_REQUEST:
        return False
    return urlsplit(response.get("Location", "")).path != resolve_url(settings.LOGIN_URL)
