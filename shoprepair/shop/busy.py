"""When the database cannot take a change now: a page that says so, keeps what was typed, and sends it again.

On SQLite one writes at a time and the others wait, as long as the settings let them; after that, or when
the disk is full, or when a database server is away, nobody is shown the database's own words.
"""

import logging
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import get_token
from django.template.loader import render_to_string

from shoprepair.shop.languages import gettext_lazy

RETRY_AFTER_S = 5
WORDS = gettext_lazy(
    "The shop’s computer is busy with something else just now, so this was not saved. Send it again."
)
FULL_WORDS = gettext_lazy(
    "The disk of the shop’s computer is full, so this was not saved. Tell the owner, then send it again."
)
_SECRET = ("password", "pin", "otp", "token", "secret", "recovery")
_OURS = {"csrfmiddlewaretoken", "key", "version", "next", "after", "sent", "at", "signature"}
_SQLITE = (
    "SQLITE_BUSY",
    "SQLITE_LOCKED",
    "SQLITE_FULL",
    "SQLITE_IOERR",
    "SQLITE_CANTOPEN",
    "SQLITE_READONLY",
)
_SERVER = ("08", "40", "53", "55P03", "57P")
"""SQLSTATE: no line, lost to another transaction, out of disk or memory, waited too long, shutting down."""
log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Typed:
    """One value of a form that could not be taken, to be sent again."""

    name: str
    value: str
    shown: bool
    """Whether a person typed it and wants to see that it is still there."""


class BusyMiddleware:
    """Answers with 503 where a view met a database that cannot take a change now."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """The page, or None for any other trouble."""
        if not is_busy(error):
            return None
        log.warning("The database could not take a change: %s", _reason(error))
        return answer(request, full=_reason(error) in ("SQLITE_FULL", "53100"))


def is_busy(error: BaseException) -> bool:
    """Whether the same request may well succeed a little later, as it stands."""
    reason = _reason(error)
    if not isinstance(error, OperationalError):
        return False
    return reason.startswith((*_SQLITE, *_SERVER)) or reason == "no line"


def answer(request: HttpRequest, *, full: bool = False) -> HttpResponse:
    """503, and when to try again: a page that sends what was typed once more, a sentence for a fragment."""
    words = FULL_WORDS if full else WORDS
    if getattr(request, "htmx", False) or "device" in request.POST:
        response = HttpResponse(words, status=503, content_type="text/plain; charset=utf-8")
        # Headers are ASCII; the page's own script says this beside the form.
        response["X-Sentence"] = words.replace("’", "'")
    else:
        response = HttpResponse(render_to_string("503.html", _context(request, words)), status=503)
    response["Retry-After"] = str(RETRY_AFTER_S)
    response["Cache-Control"] = "private, no-store"
    return response


def kept(request: HttpRequest, *, but: Collection[str] = ()) -> dict[str, object]:
    """What was sent, for a page that sends it once more; `but` for these fields, which it asks for anew."""
    # A password is never written into a page, not even for whoever typed it.
    again = request.method == "POST" and not any(_is_secret(name) for name in request.POST if name not in but)
    return {
        "here": request.get_full_path(),
        "again": again,
        "typed": list(_typed(request, but)) if again else [],
        "files": sorted(request.FILES) if again else [],
    }


def _context(request: HttpRequest, words: str) -> dict[str, object]:
    """All that the page needs, so that it asks nothing of the database."""
    return kept(request) | {"words": words, "csrf_token": get_token(request)}


def _typed(request: HttpRequest, but: Collection[str]) -> Iterator[Typed]:
    for name, values in request.POST.lists():
        if name == "csrfmiddlewaretoken" or name in but:
            continue
        for value in values:
            shown = name not in _OURS and len(value) > 2 and any(mark.isalpha() for mark in value)
            yield Typed(name, value, shown)


def _is_secret(name: str) -> bool:
    return any(part in _SECRET for part in name.lower().replace("-", "_").split("_")) or "password" in name


def _reason(error: BaseException) -> str:
    """The database's own name for what happened: of SQLite, or a server's SQLSTATE."""
    cause = error.__cause__ or error
    if name := getattr(cause, "sqlite_errorname", ""):
        return str(name)
    if hasattr(cause, "sqlstate"):
        return str(cause.sqlstate or "no line")
    return ""
