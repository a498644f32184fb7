"""Browsers in which somebody has logged in before: what strangers try elsewhere makes nobody wait there.

The cookie opens nothing. Failures in such a browser are counted by themselves, and after as many it waits
as any other.
"""

import datetime

from django.http import HttpRequest, HttpResponse

from shoprepair.shop import cookies

_COOKIE = "browser"
LASTING = datetime.timedelta(days=180)
MOST_PEOPLE = 8
"""So many people may share a browser; the one who came in longest ago is no longer known in it."""


def known_as(request: HttpRequest, name: str) -> str:
    """By what this browser is counted for that name; empty where nobody has come in by it here."""
    token, *people = _given(request)
    return token if token and _mark(token, name) in people else ""


def remember(request: HttpRequest, response: HttpResponse, name: str) -> None:
    """Know this browser again when that name is tried in it."""
    token, *people = _given(request)
    token = token or cookies.new_token()
    mark = _mark(token, name)
    latest = [mark, *(each for each in people if each != mark)][:MOST_PEOPLE]
    cookies.give(response, _COOKIE, ".".join((token, *latest)), LASTING)


def _given(request: HttpRequest) -> list[str]:
    return cookies.given(request, _COOKIE, LASTING).split(".")


def _mark(token: str, name: str) -> str:
    """Tells nobody who reads the cookie which names there are."""
    return cookies.digest(f"{token}:{name}")[:22]
