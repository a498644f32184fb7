"""Backups looked after all day: one that failed is tried again every hour, and the owner gets a letter."""

import logging
import time
from datetime import datetime, timedelta

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.shop import daily, outbox
from shoprepair.shop.backup import duties, standing
from shoprepair.shop.backup.layout import BackupTrouble
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.settings import current

AGAIN_AFTER = timedelta(hours=1)
TOLD = "backups-told"

_BODY = gettext_lazy(
    "{troubles}\n\nLast good backup: {last}\nWhere backups are kept: {folder}\n\nWhat to do: connect the "
    "disk of that folder or make room on it, then press “Make a backup now” in the office under Data, "
    "Backups. The program itself tries again every hour. This letter comes once a day until a good backup "
    "is there.\n"
)

logger = logging.getLogger("shoprepair.shop.backup")
_tried_at: float | None = None


def look() -> None:
    """Try again what failed, when its hour is over; tell the owner of what is still wrong."""
    _try_again()
    tell_owner()


def tell_owner(now: datetime | None = None) -> bool:
    """Write to the owner when the last good backup is too old or the last try failed, once a day.

    Answers whether a letter was written. A shop without mail has its notice in the office alone.
    """
    if not (said := standing.overdue(now)):
        return False
    with transaction.atomic():
        if not daily.take(TOLD, timezone.localdate(now)):
            return False
        subject = gettext("%(name)s: the backup needs you") % {"name": current().name}
        return outbox.tell_owner(subject, _body(said), about="backups") is not None


def _try_again() -> None:
    global _tried_at
    if not standing.last_try().failed:
        _tried_at = None
        return
    now = time.monotonic()
    # The first look after a try only begins to count: it failed a moment ago.
    if _tried_at is None or now - _tried_at < AGAIN_AFTER.total_seconds():
        _tried_at = now if _tried_at is None else _tried_at
        return
    _tried_at = now
    try:
        duties.back_up()
    except BackupTrouble as trouble:
        logger.warning("The backup was tried again: %s", trouble)


def _body(said: list[str]) -> str:
    last = standing.last_good()
    when = date_format(timezone.localtime(last), "j F Y, H:i") if last else gettext("none")
    return _BODY.format(troubles="\n".join(said), last=when, folder=settings.BACKUP_DIR)
