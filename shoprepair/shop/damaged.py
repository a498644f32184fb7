"""A database that is damaged takes no more changes: what is written over a broken page is lost for good.

Found by a check every day, and wherever the database says so itself, it is marked beside it. From then on the
shop shows what it still has, refuses every change but logging in, and says how it comes back. Only the
embedded database can rot so: a server looks after its own.
"""

import logging
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, connection
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext

from shoprepair.shop.headers import SAFE_METHODS
from shoprepair.shop.languages import gettext_lazy

WORDS = gettext_lazy(
    "The shop’s database is damaged, so nothing is changed any more and this was not saved. What there is "
    "can still be read. Tell the owner: “manage.py restore --replace” brings the last backup back."
)
TOLD = gettext_lazy(
    "The database is damaged ({why}), and the shop takes no changes any more. Stop the shop, then bring the "
    "last good backup back: manage.py restore --replace."
)
LETS_READ = frozenset({"login", "login-code", "log-in-code", "logout", "switch-person", "switch-pin"})
"""Without these nobody could read what there still is."""
_CORRUPT = ("SQLITE_CORRUPT", "SQLITE_NOTADB")
log = logging.getLogger(__name__)


class Damaged(Exception):
    """The check found something; the message says what, in the database's own words."""


def why() -> str:
    """What is wrong with the database; empty where nothing is known of it."""
    with suppress(OSError):
        return _mark().read_text().strip() or gettext("it cannot be read")
    return ""


def trouble() -> str:
    """What the owner is told, in a sentence or two; empty where nothing is wrong."""
    return TOLD.format(why=said) if (said := why()) else ""


def mark(said: str) -> None:
    """Have no more changes taken."""
    with suppress(OSError):
        _mark().write_text(" ".join(said.split())[:200])
    log.error("The database is damaged and takes no changes any more: %s", said)


def clear() -> None:
    """Have changes taken again, once the database is whole."""
    _mark().unlink(missing_ok=True)


def check() -> None:
    """Look the embedded database over; mark it where it is damaged. Raises Damaged."""
    if connection.vendor != "sqlite":
        return
    if said := _looked_over(Path(connection.settings_dict["NAME"])):
        mark(said)
        raise Damaged(said)


class DamagedMiddleware:
    """Answers every change with 503 while the database is known to be damaged."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *_view: object) -> HttpResponse | None:
        """The page that says so instead of the view that would change something."""
        match = request.resolver_match
        lets_read = match is not None and match.url_name in LETS_READ
        if request.method in SAFE_METHODS or lets_read or not why():
            return None
        return _answer(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """The same where the database says so itself, in the midst of a view."""
        cause = error.__cause__ or error
        if not isinstance(error, DatabaseError) or not str(getattr(cause, "sqlite_errorname", "")).startswith(
            _CORRUPT
        ):
            return None
        mark(str(cause))
        return _answer(request)


def _answer(request: HttpRequest) -> HttpResponse:
    match = request.resolver_match
    outside = match is not None and not getattr(match.func, "login_required", True)
    words = gettext("We cannot take anything down just now, so this was not sent. Please call us.")
    words = words if outside else WORDS
    if getattr(request, "htmx", False) or "device" in request.POST:
        response = HttpResponse(words, status=503, content_type="text/plain; charset=utf-8")
        # Headers are ASCII; what says this beside the form puts up with the rest.
        plain = words.replace("’", "'").replace("“", "'").replace("”", "'")
        response["X-Sentence"] = plain.encode("ascii", "ignore").decode()
    else:
        page = {"words": words, "here": request.get_full_path(), "again": False}
        response = HttpResponse(render_to_string("503.html", page), status=503)
    response["Cache-Control"] = "private, no-store"
    return response


def _looked_over(path: Path) -> str:
    """What the database says of itself, read beside everybody else; empty where it is whole."""
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True, timeout=20)) as database:
            said = [str(row[0]) for row in database.execute("PRAGMA quick_check(3)")]
    except sqlite3.OperationalError as error:
        # Locked, or gone for a moment: of that nobody can tell, and it is looked again.
        log.warning("The database could not be looked over: %s", error)
        return ""
    except sqlite3.DatabaseError as error:
        return str(error)
    return "" if said == ["ok"] else "; ".join(said)


def _mark() -> Path:
    return Path(settings.DATA_DIR) / "database-damaged"
