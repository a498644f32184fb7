"""What is shown when a request came to nothing: a page that says what to do, or one sentence."""

import logging
import sys
from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig, SuspiciousOperation
from django.http import Http404, HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views import csrf, defaults

from shoprepair.shop import busy
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.logs import request_id

BROKE = gettext_lazy(
    "Something broke on our side, and this was not saved. What you typed is still here. Number: {number}"
)
TOO_LARGE = gettext_lazy("That is more than the shop takes at once. Send less, or one after the other.")
NOT_UNDERSTOOD = gettext_lazy(
    "That was not understood, and nothing was changed. Reload the page and try again."
)
NOT_HERE = gettext_lazy("What this belonged to is not here any more. Reload the page.")
TOO_OLD = gettext_lazy(
    "Somebody logged in or out on this device meanwhile, so this was not sent. Reload the page first."
)
REFUSALS = (Http404, PermissionDenied, SuspiciousOperation)
"""Of what goes wrong while one of these is told, Django logs the refusal only."""
LAST_RESORT = "<!DOCTYPE html><html lang=en><title>It broke</title><p>Something broke on our side. Number: {}"

log = logging.getLogger(__name__)


def server_error(request: HttpRequest) -> HttpResponse:
    """The page with the number under which the log says what happened; it fails whatever else does."""
    error, number = sys.exception(), request_id.get()
    if error is not None and busy.is_busy(error):
        # Met outside the views, as where a log-in is kept.
        return busy.answer(request)
    if isinstance(getattr(error, "__context__", None), REFUSALS):
        log.exception("The page about a refusal could not be shown")
    if _is_for_a_part(request):
        return _sentence(BROKE.format(number=number), HTTPStatus.INTERNAL_SERVER_ERROR)
    try:
        page = str(render_to_string("500.html", {"number": number, "outside": _is_outside(request)}))
    except Exception:
        log.exception("The page that says that something broke could not be shown")
        page = LAST_RESORT.format(number)
    return HttpResponse(page, status=HTTPStatus.INTERNAL_SERVER_ERROR)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """What could not be read, or was too large to be."""
    large = isinstance(exception, RequestDataTooBig)
    status = HTTPStatus.REQUEST_ENTITY_TOO_LARGE if large else HTTPStatus.BAD_REQUEST
    if _is_for_a_part(request):
        return _sentence(TOO_LARGE if large else NOT_UNDERSTOOD, status)
    page = render_to_string(f"{status.value}.html", {"outside": _is_outside(request)})
    return HttpResponse(page, status=status)


def permission_denied(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Why this log-in may not."""
    if _is_for_a_part(request) and (said := str(exception)):
        return _sentence(said, HTTPStatus.FORBIDDEN)
    return defaults.permission_denied(request, exception)


def form_too_old(request: HttpRequest, reason: str = "") -> HttpResponse:
    """That the form's key is not this log-in's."""
    if _is_for_a_part(request):
        return _sentence(TOO_OLD, HTTPStatus.FORBIDDEN)
    return csrf.csrf_failure(request, reason)


def page_not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """That there is nothing."""
    if _is_for_a_part(request):
        return _sentence(NOT_HERE, HTTPStatus.NOT_FOUND)
    return defaults.page_not_found(request, exception)


def _is_for_a_part(request: HttpRequest) -> bool:
    """Whether a script asked, which shows a sentence beside what is there and puts no page into a page."""
    return request.headers.get("HX-Request") == "true"


def _is_outside(request: HttpRequest) -> bool:
    """Whether the page is one for people who do not work here."""
    match: Any = request.resolver_match
    return match is not None and not getattr(match.func, "login_required", True)


def _sentence(said: str, status: HTTPStatus) -> HttpResponse:
    answer = HttpResponse(said, status=status, content_type="text/plain; charset=utf-8")
    # A header takes no other letters; the sentences about a refusal are English and need none.
    answer["X-Sentence"] = said.replace("’", "'").encode("ascii", "ignore").decode()
    return answer
