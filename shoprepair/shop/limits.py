"""How often somebody outside may try something: counted by a keyed hash, which tells of nobody."""

import datetime
import ipaddress

from django.conf import settings
from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext

from shoprepair.shop import turns
from shoprepair.shop.models import Attempt

NOTHING = datetime.timedelta()
LONGEST = datetime.timedelta(days=1)
"""No limit looks further back, so nothing older is kept."""
LONGEST_PAUSE = datetime.timedelta(hours=1)
MOST_DOUBLINGS = 12
"""After these a pause of a second is longer than the longest."""
HOME_NETWORK = 64
"""A household or a phone is given so many bits of an IPv6 address, and all below them [RFC 6177]."""


def allow(purpose: str, whom: str, *, most: int, per: datetime.timedelta) -> bool:
    """Whether they may try it once more, which is then counted: `most` times within `per`, up to a day.

    A try that is refused is not counted, so that whoever waits comes through. Of many at the same moment no
    more pass than one after the other.
    """
    if per > LONGEST:
        raise ValueError(gettext("Tries are kept for a day and not longer."))
    now, hashed = timezone.now(), _hash(purpose, whom)
    with transaction.atomic():
        turns.take(hashed)
        if Attempt.objects.filter(whom=hashed, at__gt=now - per).count() >= most:
            return False
        Attempt.objects.create(whom=hashed, at=now)
    return True


def wait(purpose: str, whom: str, *, most: int, per: datetime.timedelta) -> datetime.timedelta:
    """How long they must wait after `most` noted tries within `per`; nothing where they need not."""
    now = timezone.now()
    noted = Attempt.objects.filter(whom=_hash(purpose, whom), at__gt=now - per).order_by("-at")
    first: datetime.datetime | None = noted.values_list("at", flat=True)[most - 1 : most].first()
    return max(first + per - now, NOTHING) if first else NOTHING


def growing_wait(purpose: str, whom: str, *, most: int, first: datetime.timedelta) -> datetime.timedelta:
    """How long they must wait after `most` noted tries of a day: `first`, and twice as long after each more.

    It never grows beyond an hour, so that nobody is kept out for good by what others try.
    """
    now = timezone.now()
    noted = Attempt.objects.filter(whom=_hash(purpose, whom), at__gt=now - LONGEST).order_by("-at")
    times = list(noted.values_list("at", flat=True)[: most + MOST_DOUBLINGS])
    if len(times) < most:
        return NOTHING
    doublings = 1 << (len(times) - most)
    pause = min(first * doublings, LONGEST_PAUSE)
    return max(times[0] + pause - now, NOTHING)


def note(purpose: str, whom: str) -> int:
    """Count one try, whatever became of it; how many of theirs that makes within a day."""
    hashed = _hash(purpose, whom)
    Attempt.objects.create(whom=hashed, at=timezone.now())
    return Attempt.objects.filter(whom=hashed, at__gt=timezone.now() - LONGEST).count()


def forget(purpose: str, whom: str, *, newest: int | None = None) -> None:
    """Take back what was noted of them: all of it, or the `newest` so many."""
    theirs = Attempt.objects.filter(whom=_hash(purpose, whom)).order_by("-at", "-pk")
    Attempt.objects.filter(pk__in=list(theirs.values_list("pk", flat=True)[:newest])).delete()


def address(request: HttpRequest) -> str:
    """Where a request comes from, as far as it tells one visitor from another.

    Behind a proxy that speaks HTTPS for the shop it is what that proxy adds: the last of the forwarded
    addresses. Whatever stands before it the visitor may have written.
    """
    given = request.META.get("REMOTE_ADDR", "")
    if settings.HTTPS and (forwarded := request.META.get("HTTP_X_FORWARDED_FOR")):
        given = forwarded.rpartition(",")[2].strip()
    return _network(given)


def prune() -> int:
    """Take away the tries that no limit looks at any more; how many there were."""
    return Attempt.objects.filter(at__lte=timezone.now() - LONGEST).delete()[0]


def _network(given: str) -> str:
    try:
        found = ipaddress.ip_address(given)
    except ValueError:
        return given[:64]
    if isinstance(found, ipaddress.IPv4Address):
        return str(found)
    if found.ipv4_mapped:
        return str(found.ipv4_mapped)
    return str(ipaddress.ip_network((int(found), HOME_NETWORK), strict=False))


def _hash(purpose: str, whom: str) -> str:
    return salted_hmac(f"shoprepair.shop.limits.{purpose}", whom, algorithm="sha256").hexdigest()
