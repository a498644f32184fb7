"""What is to be done once a day, by whichever process comes first."""

import datetime
import logging
from collections.abc import Callable

from django.db import IntegrityError, transaction
from django.utils import timezone

from shoprepair.shop.models import DailyRun

Duty = Callable[[], object]

logger = logging.getLogger("shoprepair.shop.daily")

_DUTIES: dict[str, Duty] = {}
_WATCHES: dict[str, Duty] = {}


def duty(name: str, function: Duty) -> None:
    """Have something done every day; called as the package is loaded. The name stays for good."""
    _DUTIES[name] = function


def duties() -> tuple[str, ...]:
    """What is done every day, in this order."""
    return tuple(_DUTIES)


def watch(name: str, function: Duty) -> None:
    """Have something looked after all day long, about once a minute; it sees itself what there is to do.

    What takes long is done a few seconds at a time: while it answers True, it is asked again at once.
    """
    _WATCHES[name] = function


def look_after() -> bool:
    """Look after what is to be looked after all day; whether there is more to do at once.

    What fails is logged and keeps nothing else from it.
    """
    more = False
    for name, function in _WATCHES.items():
        try:
            more = function() is True or more
        except Exception:
            logger.exception("What is looked after all day went wrong: %s", name)
    return more


def run_due(today: datetime.date | None = None) -> list[str]:
    """Do what was not done today yet; the names of what this call did.

    Whoever writes the day down first does it, so that two processes never do it twice. A duty that fails
    is logged, waits for the next day and keeps no other from being done.
    """
    today = today or timezone.localdate()
    done = set(DailyRun.objects.filter(ran_on__gte=today).values_list("name", flat=True))
    return [name for name in _DUTIES if name not in done and take(name, today) and _do(name)]


def take(name: str, today: datetime.date) -> bool:
    """Write down that something is done today; False where that was written down already."""
    if DailyRun.objects.filter(pk=name, ran_on__lt=today).update(ran_on=today):
        return True
    try:
        with transaction.atomic():
            DailyRun.objects.create(name=name, ran_on=today)
    except IntegrityError:
        return False
    return True


def _do(name: str) -> bool:
    try:
        _DUTIES[name]()
    except Exception:
        logger.exception("What is done every day went wrong: %s", name)
        return False
    return True
