"""The sign that no database server can write: a zero byte, which no keyboard makes.

The embedded database would keep it, and the shop could then never move to a server. So where a request
comes in it is left out of what is asked for, and in what is sent to be kept a sign that everybody sees stands
in its place, as Django does with bytes that are no text.
"""

from collections.abc import Callable
from typing import Any

from django.core.exceptions import BadRequest
from django.db import DataError
from django.http import HttpRequest, HttpResponse, QueryDict
from django.utils.translation import gettext

NUL, SHOWN = "\x00", "\ufffd"
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")


class UnwritableMiddleware:
    """Stands behind whatever reads a form's own key, so that a form is read no earlier than without it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        said = request.META.get("QUERY_STRING", "")
        if "%00" in said or NUL in said:
            request.GET = _written(request.GET, "")  # type: ignore[assignment]
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Callable[..., HttpResponse], *_: Any) -> None:
        """What a view bounds itself is left alone until that view reads it."""
        is_form = request.method == "POST" and request.content_type in FORMS
        if is_form and not getattr(view, "bounds_itself", False) and _has_any(request.POST):
            request.POST = written(request.POST)  # type: ignore[assignment]

    def process_exception(self, _request: HttpRequest, error: Exception) -> None:
        """What came by another way and met the server is a request that was not understood."""
        if isinstance(error, DataError) and "NUL (0x00)" in str(error):
            raise BadRequest(gettext("A zero byte was sent.")) from error


def written(sent: QueryDict) -> QueryDict:
    """The same fields with a sign for each zero byte."""
    return _written(sent, SHOWN)


def _written(sent: QueryDict, instead: str) -> QueryDict:
    clean = QueryDict(mutable=True)
    for name, texts in sent.lists():
        clean.setlist(name.replace(NUL, instead), [str(text).replace(NUL, instead) for text in texts])
    clean._mutable = False
    return clean


def _has_any(sent: QueryDict) -> bool:
    return any(NUL in text for name, texts in sent.lists() for text in (name, *texts))
