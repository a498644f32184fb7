"""The owner's pages ask for the password again when they were left alone for a while.

The owner works at the counter too, on a screen that lies there for everybody. What is the owner's alone
closes after half an hour without a look at it; the rest of the log-in goes on.
"""

import datetime

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shoprepair.shop import busy, own_password
from shoprepair.shop.headers import SAFE_METHODS
from shoprepair.shop.keeping import page_before
from shoprepair.shop.sessions import SINCE

SHUT_AFTER = datetime.timedelta(minutes=30)
"""Long enough to read a page and to be called away to the counter, shorter than a visit to the beach."""
NOTED_EVERY = datetime.timedelta(minutes=5)
FIELD = "password-again"
_TOUCHED = "office-touched"


def is_due(request: HttpRequest) -> bool:
    """Whether the owner's pages have been left alone for so long."""
    return _age_s(request) > SHUT_AFTER.total_seconds()


def note(request: HttpRequest) -> None:
    """Keep that they are in use; a log-in is written down anew no more often than it needs to be."""
    if _age_s(request) > NOTED_EVERY.total_seconds():
        request.session[_TOUCHED] = timezone.now().timestamp()


def ask(request: HttpRequest) -> HttpResponse | None:
    """The page that asks for the password; None where it was given along with what is sent.

    A form that was being filled in meanwhile is kept, and is sent on with the password.
    """
    if request.method in SAFE_METHODS:
        return redirect_to_login(request.get_full_path())
    if getattr(request, "htmx", False):
        return redirect_to_login(page_before(request) or "/")
    wrong = ""
    if FIELD in request.POST:
        wrong = own_password.fault(request.user, request.POST[FIELD])  # type: ignore[arg-type]
        if not wrong:
            note(request)
            return None
    page = busy.kept(request, but={FIELD}) | {"field": FIELD, "wrong": wrong, "back": page_before(request)}
    return render(request, "again.html", page, status=422 if wrong else 403)


def _age_s(request: HttpRequest) -> float:
    session, now = getattr(request, "session", {}), timezone.now().timestamp()
    return now - float(max(session.get(_TOUCHED, 0), session.get(SINCE, 0)) or now)
