"""The shop as an app on a tablet."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_safe

from shoprepair.shop import installed

KEPT = "public, max-age=3600"
"""Browsers ask for it with every page otherwise."""


@login_not_required
@require_safe
def manifest(request: HttpRequest) -> HttpResponse:
    """What a device reads to install the shop, whoever holds it."""
    answer = JsonResponse(installed.manifest(request.shop), content_type="application/manifest+json")
    answer["Cache-Control"] = KEPT
    return answer


@require_safe
def start(request: HttpRequest) -> HttpResponse:
    """Where the app begins for whoever is logged in."""
    return redirect(installed.begins_at(request.user))
