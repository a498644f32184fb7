"""Log-ins that go on: whose, on what, since when; and how they end.

Each has a row beside its session. While nothing changes a request costs no look at it: what is needed stands
in the session, which is read anyhow.
"""

import datetime
from collections.abc import Callable
from typing import Any

from django.contrib import auth
from django.contrib.sessions.backends.base import SessionBase
from django.contrib.sessions.models import Session
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from shoprepair.shop import browsers, journal
from shoprepair.shop.models import LogIn, Pin, SharedTablet, Staff, TrustedBrowser
from shoprepair.shop.said import ngettext
from shoprepair.shop.settings import current

AT_MOST = datetime.timedelta(days=30)
"""After so long the password is asked for again, however busy the log-in was."""
BY_PIN_AT_MOST = datetime.timedelta(hours=12)
"""A working day: what was opened by a PIN is closed over night."""
IDLE_AT_MOST = datetime.timedelta(hours=12)
"""Without a tap for so long it ends. No day at the bench has such a break, and no tablet that was left lying
in the evening is open in the morning."""
SEEN_EVERY = datetime.timedelta(hours=1)
SINCE, SEEN = "since", "seen"


def begin(request: HttpRequest, person: Staff, tablet: SharedTablet | None = None) -> LogIn:
    """Write down that somebody is logged in by this request's session."""
    session, now = request.session, timezone.now()
    session[SINCE] = session[SEEN] = now.timestamp()
    if person.by_pin:
        session.set_expiry(BY_PIN_AT_MOST)
    if not session.session_key:
        session.create()
    written = {
        "person_id": person.pk,
        "device": browsers.in_words(request),
        "tablet": tablet,
        "shop": current(),
        "since": now,
        "last_seen": now,
    }
    return LogIn.objects.update_or_create(session_key=session.session_key, defaults=written)[0]


def of(person: Staff) -> QuerySet[LogIn]:
    """Where somebody is logged in, the one used last first."""
    alive = Session.objects.filter(expire_date__gt=timezone.now()).values("session_key")
    return LogIn.objects.filter(person=person, session_key__in=alive).select_related("tablet")


def end(log_ins: QuerySet[LogIn], person: Staff, *, who: Staff) -> int:
    """End some log-ins of a person; how many there were. Each is out at its next request."""
    if ended := _end(log_ins.filter(person=person)):
        text = ngettext("%(n)s log-in of %(person)s ended.", "%(n)s log-ins of %(person)s ended.", ended)
        journal.record(
            person,
            "log-ins.ended",
            text % {"n": ended, "person": person},
            who=who,
        )
    return ended


def end_all(person: Staff) -> None:
    """Let nobody go on who came in as this person: no log-in, no trusted browser, no PIN."""
    _end(LogIn.objects.filter(person=person))
    TrustedBrowser.objects.filter(person=person).delete()
    Pin.objects.filter(person=person).delete()


def end_on(tablet: SharedTablet) -> None:
    """End what was begun on a tablet."""
    _end(LogIn.objects.filter(tablet=tablet))


def prune() -> int:
    """Take away the log-ins and sessions that have run out; how many rows there were."""
    now = timezone.now()
    old = [
        Session.objects.filter(expire_date__lte=now).delete()[0],
        LogIn.objects.exclude(session_key__in=Session.objects.values("session_key")).delete()[0],
        TrustedBrowser.objects.filter(until__lte=now).delete()[0],
    ]
    return sum(old)


def on_log_in(request: HttpRequest, user: Staff, **_rest: Any) -> None:
    """Django tells that somebody logged in. Who gave the password may use their PIN again."""
    begin(request, user)
    if not user.by_pin:
        Pin.objects.filter(person=user, wrong_tries__gt=0).update(wrong_tries=0)


def on_log_out(request: HttpRequest, **_rest: Any) -> None:
    """Django tells that somebody logs out."""
    LogIn.objects.filter(session_key=request.session.session_key or "").delete()


class SeenMiddleware:
    """Keeps when each log-in was seen last, and ends the one that lay untouched or has lasted long enough."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        session = request.session
        # A page that asked nothing of the session stays one that does not depend on it.
        if session.accessed and auth.SESSION_KEY in session and _is_due(session.get(SEEN, 0)):
            _see(request)
        return response

    def process_view(self, request: HttpRequest, *_rest: Any) -> None:
        """Before any page, for some that are open to everybody show more to who is logged in."""
        if _is_over(request.session):
            auth.logout(request)


def _see(request: HttpRequest) -> None:
    """Write down that a log-in was seen; one from before there were rows gets its row.

    One that is over stays so, where an address without a page ended nothing.
    """
    session, now = request.session, timezone.now()
    if _is_over(session) or not request.user.is_authenticated:
        return
    session[SEEN] = now.timestamp()
    if not LogIn.objects.filter(session_key=session.session_key).update(last_seen=now):
        begin(request, request.user)


def _is_over(session: SessionBase) -> bool:
    """Whether this log-in ends now. It was touched up to an hour after it was last written down."""
    now = timezone.now().timestamp()
    untouched, lasted = now - session.get(SEEN, now), now - session.get(SINCE, now)
    return bool(untouched > IDLE_AT_MOST.total_seconds() or lasted > AT_MOST.total_seconds())


def _is_due(seen: float) -> bool:
    return timezone.now().timestamp() - seen > SEEN_EVERY.total_seconds()


def _end(log_ins: QuerySet[LogIn]) -> int:
    keys = list(log_ins.values_list("session_key", flat=True))
    Session.objects.filter(session_key__in=keys).delete()
    LogIn.objects.filter(session_key__in=keys).delete()
    return len(keys)
