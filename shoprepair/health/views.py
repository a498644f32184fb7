"""What is told to whoever watches the shop: one word; to the owner, and on this machine, the reasons too."""

import ipaddress
from http import HTTPStatus

from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError, InterfaceError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shoprepair.health import in_words
from shoprepair.health.standing import Standing, standing
from shoprepair.shop.access import is_owner, owner_only
from shoprepair.shop.backup import layout

FORWARDED = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Proto", "Via")
"""One of these stands on what a proxy passes on: it was asked from elsewhere."""


@login_not_required
@require_safe
def alive(_request: HttpRequest) -> JsonResponse:
    """The server answers; nothing else was asked."""
    return JsonResponse({"status": "alive"})


@login_not_required
@require_safe
def ready(request: HttpRequest) -> JsonResponse:
    """Whether the shop can work: 200 'ready' or 'look', else 503 'unready'."""
    found = standing()
    said: dict[str, object] = {"status": found.word}
    if _on_this_machine(request) or _of_the_owner(request, found):
        said |= {one.name: {"word": one.word, **one.figures} for one in found.findings}
    return JsonResponse(said, status=HTTPStatus.OK if found.works else HTTPStatus.SERVICE_UNAVAILABLE)


@owner_only
@require_safe
def running(request: HttpRequest) -> HttpResponse:
    """How the shop runs, in words, for the owner."""
    found = standing()
    page = {"summary": in_words.summary(found), "word": found.word, "said": in_words.said(found)}
    return render(request, "office/running.html", page | {"version": layout.program()})


def _on_this_machine(request: HttpRequest) -> bool:
    try:
        near = ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False
    return near and not any(name in request.headers for name in FORWARDED)


def _of_the_owner(request: HttpRequest, found: Standing) -> bool:
    """Read from the log-in that is there; none is begun, and none where the database cannot be read."""
    if not found.works:
        return False
    try:
        return is_owner(request.user)
    except (DatabaseError, InterfaceError):
        return False
