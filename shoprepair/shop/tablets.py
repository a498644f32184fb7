"""Tablets that several people use. The owner enrols each; on it alone a PIN lets somebody in."""

import datetime

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from shoprepair.shop import cookies, journal, sessions
from shoprepair.shop.models import SharedTablet, Staff
from shoprepair.shop.said import gettext

_COOKIE = "tablet"
LASTING = datetime.timedelta(days=400)
"""As long as browsers keep any cookie. Each change of person gives it anew."""


def enrol(name: str, response: HttpResponse, *, who: Staff) -> SharedTablet:
    """Enrol the browser that this response goes to."""
    token = cookies.new_token()
    with transaction.atomic():
        tablet = SharedTablet.objects.create(
            name=name, token_hash=cookies.digest(token), enrolled_at=timezone.now(), enrolled_by=who
        )
        journal.record(
            "tablets",
            "tablet.enrolled",
            gettext("The tablet “%(name)s” was enrolled.") % {"name": name},
            who=who,
        )
    cookies.give(response, _COOKIE, token, LASTING)
    return tablet


def called(name: str) -> SharedTablet | None:
    """The tablet that has this name already, however it is written."""
    same = name.strip().casefold()
    return next((each for each in SharedTablet.objects.all() if each.name.strip().casefold() == same), None)


def revoke(tablet: SharedTablet, *, who: Staff) -> None:
    """From now on no PIN opens anything there, and whoever is logged in by one is out."""
    with transaction.atomic():
        sessions.end_on(tablet)
        tablet.delete()
        journal.record(
            "tablets",
            "tablet.revoked",
            gettext("The tablet “%(tablet)s” was struck off.") % {"tablet": tablet},
            who=who,
        )


def of(request: HttpRequest) -> SharedTablet | None:
    """The enrolled tablet that a request comes from."""
    token = _token(request)
    return SharedTablet.objects.filter(token_hash=cookies.digest(token)).first() if token else None


def looks_enrolled(request: HttpRequest) -> bool:
    """Whether it carries what such a tablet was given once; asks nothing of the database."""
    return bool(_token(request))


def go_on(request: HttpRequest, response: HttpResponse) -> None:
    """Let the tablet be known for as long again."""
    if token := _token(request):
        cookies.give(response, _COOKIE, token, LASTING)


def _token(request: HttpRequest) -> str:
    return cookies.given(request, _COOKIE, LASTING)
