"""The date a job was promised for, in words that say at once whether it is late."""

from datetime import date
from enum import StrEnum
from typing import NamedTuple

from django.utils.formats import date_format
from django.utils.translation import gettext

WITHOUT_YEAR_DAYS = 180


class Haste(StrEnum):
    LATE = "late"
    TODAY = "today"
    SOON = "soon"
    LATER = "later"


class Promise(NamedTuple):
    words: str
    haste: Haste


def promise(on: date, today: date, *, ready: bool = False) -> Promise:
    """How a promised date reads today: '2 days late', 'promised today', 'promised Fri 28 Nov'.

    Gear that lies `ready` is not late, however long it waits to be fetched.
    """
    days = (on - today).days
    if days < 0 and not ready:
        return Promise(
            gettext("1 day late") if days == -1 else gettext("%(value)s days late") % {"value": -days},
            Haste.LATE,
        )
    if days == 0:
        return Promise(gettext("promised today"), Haste.TODAY)
    if days == 1:
        return Promise(gettext("promised tomorrow"), Haste.SOON)
    soon = not ready and days <= 3
    return Promise(gettext("promised %(on)s") % {"on": day(on, today)}, Haste.SOON if soon else Haste.LATER)


def day(on: date, today: date) -> str:
    """A date as people in the shop say it: with its weekday, and with its year only when that is in doubt."""
    far = abs((on - today).days) > WITHOUT_YEAR_DAYS
    return date_format(on, "j M Y" if far else "D j M").replace(" ", "\N{NO-BREAK SPACE}")
