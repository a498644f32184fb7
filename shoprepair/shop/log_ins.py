"""Log-ins that fail: after so many for one account, or from one address, each further one waits longer."""

import datetime
import unicodedata

from django.db import transaction
from django.utils import timezone

from shoprepair.shop import journal, limits
from shoprepair.shop.models import JournalEntry, Shop, Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.settings import current

MOST_FOR_ONE = 10
"""Failures for one name within a day before the first pause."""
MOST_FROM_ONE = 50
"""Failures from one address, behind which all of a shop may sit."""
FIRST_PAUSE = datetime.timedelta(minutes=1)
SUBJECT = "log-in"
MOST_TOLD_A_DAY = 20
TOLD_FOR = datetime.timedelta(days=7)

_NAME, _ADDRESS, _BROWSER, _TOLD = "log-in.name", "log-in.address", "log-in.browser", "log-in.told"


def begin(name: str, address: str, browser: str = "") -> datetime.timedelta:
    """Count a log-in as failed until it has succeeded. How long it must wait instead, where it must.

    It counts before the password is looked at, so that many at once get no more than one after the other;
    and by the name that was typed, so that nobody learns from it which names there are. A `browser` in which
    that name has come in before (`shop.known_browsers`) is counted by itself alone: what others try
    elsewhere keeps nobody out of their own.
    """
    with transaction.atomic():
        Shop.objects.select_for_update().get(pk=current().pk)
        if browser:
            return _begin_in(browser, name)
        if pause := _pause(name, address):
            return pause
        if limits.note(_NAME, plain(name)) == MOST_FOR_ONE:
            _tell_of_account(name)
        if limits.note(_ADDRESS, address) == MOST_FROM_ONE:
            _tell(
                gettext(
                    "%(MOST_FROM_ONE)s log-ins from one address failed within a day. It now "
                    "waits between tries."
                )
                % {"MOST_FROM_ONE": MOST_FROM_ONE}
            )
    return datetime.timedelta()


def succeeded(name: str, address: str, browser: str = "") -> None:
    """Forget the failures of an account whose owner came in, and that this one was counted.

    In a browser that is known only its own: whoever tries elsewhere goes on waiting.
    """
    if browser:
        limits.forget(_BROWSER, _in(browser, name))
        return
    limits.forget(_NAME, plain(name))
    limits.forget(_ADDRESS, address, newest=1)


def told_lately() -> list[JournalEntry]:
    """What the owner should know of, newest first: accounts and addresses made to wait this week."""
    return list(journal.entries(SUBJECT).filter(at__gt=timezone.now() - TOLD_FOR).order_by("-at", "-pk"))


def _begin_in(browser: str, name: str) -> datetime.timedelta:
    whom = _in(browser, name)
    if pause := limits.growing_wait(_BROWSER, whom, most=MOST_FOR_ONE, first=FIRST_PAUSE):
        return pause
    if limits.note(_BROWSER, whom) == MOST_FOR_ONE:
        _tell_of_account(name)
    return datetime.timedelta()


def _in(browser: str, name: str) -> str:
    return f"{browser}:{plain(name)}"


def _pause(name: str, address: str) -> datetime.timedelta:
    return max(
        limits.growing_wait(_NAME, plain(name), most=MOST_FOR_ONE, first=FIRST_PAUSE),
        limits.growing_wait(_ADDRESS, address, most=MOST_FROM_ONE, first=FIRST_PAUSE),
    )


def _tell_of_account(name: str) -> None:
    """Only of accounts that there are: what was typed as a name may be somebody's password."""
    if person := Staff.objects.filter(username__iexact=name).first():
        _tell(
            gettext(
                "%(MOST_FOR_ONE)s log-ins as %(person)s failed. Each further one has to "
                "wait, longer every time."
            )
            % {"MOST_FOR_ONE": MOST_FOR_ONE, "person": person}
        )


def _tell(text: str) -> None:
    if limits.allow(_TOLD, "all", most=MOST_TOLD_A_DAY, per=limits.LONGEST):
        journal.record(SUBJECT, "log-in.paused", text, who=None)


def plain(name: str) -> str:
    """A name as it is counted: neither capitals nor look-alike letters make it another one."""
    return unicodedata.normalize("NFKC", name[:150]).casefold().strip()
