"""How often somebody outside may try something: counted by a keyed hash, which tells of nobody."""

import datetime
import ipaddress

from django.conf import settings
from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from shoprepair.shop.models import Attempt

LONGEST = datetime.timedelta(days=1)
"""No limit looks further back, so nothing older is kept."""
HOME_NETWORK = 64
"""A household or a phone is given so many bits of an IPv6 address, and all below them [RFC 6177]."""


def allow(purpose: str, whom: str, *, most: int, per: datetime.timedelta) -> bool:
    """Whether they may try it once more, which is then counted: `most` times within `per`, up to a day.

    A try that is refused is not counted, so that whoever waits comes through.
    """
    if per > LONGEST:
        raise ValueError("Tries are kept for a day and not longer.")
    now, hashed = timezone.now(), _hash(purpose, whom)
    with transaction.atomic():
        if Attempt.objects.filter(whom=hashed, at__gt=now - per).count() >= most:
            return False
        Attempt.objects.create(whom=hashed, at=now)
    return True


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
