"""Cookies that let a browser be known again: signed, out of reach of scripts, and secret at rest."""

import datetime
import hashlib
import secrets

from django.conf import settings
from django.http import HttpRequest, HttpResponse

_BYTES = 32


def new_token() -> str:
    """What a browser is known by: 256 bits that nobody guesses."""
    return secrets.token_urlsafe(_BYTES)


def digest(token: str) -> str:
    """What is kept of a token. It needs no key: nobody finds 256 random bits by trying."""
    return hashlib.sha256(token.encode()).hexdigest()


def give(response: HttpResponse, name: str, token: str, lasting: datetime.timedelta) -> None:
    """Send the browser a cookie with the token."""
    response.set_signed_cookie(
        _named(name),
        token,
        salt=name,
        max_age=lasting,
        secure=settings.HTTPS,
        httponly=True,
        samesite="Lax",
    )


def given(request: HttpRequest, name: str, lasting: datetime.timedelta) -> str:
    """The token that this browser was given so lately; empty without one, or where somebody made it up."""
    found = request.get_signed_cookie(_named(name), default="", salt=name, max_age=lasting)
    return str(found or "")


def take(response: HttpResponse, name: str) -> None:
    """Have the browser forget it."""
    response.set_cookie(_named(name), "", max_age=0, secure=settings.HTTPS, httponly=True, samesite="Lax")


def _named(name: str) -> str:
    return f"__Host-{name}" if settings.HTTPS else name
