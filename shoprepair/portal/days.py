"""Days as a customer reads them: the weekday and the month in full, the year where it is not this one."""

from datetime import date, datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.shop.unbroken import NO_BREAK


def day(on: date, today: date | None = None) -> str:
    """'Thursday 3 December', 'Thursday 3 December 2026' where that is not this year."""
    return date_format(on, f"l {_month(on, today)}")


def span(first: date, last: date) -> str:
    """'Thursday 3 to Monday 7 December'; month and year once where they are the same.

    No line ends between a weekday and its day.
    """
    if first == last:
        return day(first)
    same = (first.year, first.month) == (last.year, last.month)
    return gettext("%(first)s to %(last)s") % {
        "first": _whole(
            date_format(first, "l j" if same else "l j F" if first.year == last.year else "l j F Y")
        ),
        "last": _whole(day(last)),
    }


def moment(at: datetime) -> str:
    """'Thursday 3 December, 14:05', by the clock on the shop's wall."""
    there = timezone.localtime(at)
    return date_format(there, f"l {_month(there.date(), None)}, H:i")


def _whole(said: str) -> str:
    return said.replace(" ", NO_BREAK, 1)


def _month(on: date, today: date | None) -> str:
    return "j F" if on.year == (today or timezone.localdate()).year else "j F Y"
