"""Dates, times and jobs as the bench says them; figures stay in a Sentence until somebody reads them."""

from datetime import date, datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.shop.counted import counted


def moment(at: datetime) -> str:
    """'14:05 on Fri 27 Nov', by the clock on the wall."""
    return gettext("%(at)s on %(day)s") % {"at": f"{at:%H:%M}", "day": day(at.date())}


def day(on: date) -> str:
    """'Fri 27 Nov'."""
    return date_format(on, "D j M")


def dated(on: date) -> str:
    """The same with its year where that is not this one: 'Fri 1 Jan 2027'."""
    return day(on) if on.year == timezone.localdate().year else date_format(on, "D j M Y")


def span(first: date, last: date) -> str:
    """'Thu 3 to Mon 7 December', the month once where it is the same; of one day 'Thu 3 December'."""
    if first == last:
        return date_format(first, "D j F")
    same = (first.year, first.month) == (last.year, last.month)
    return gettext("%(first)s to %(last)s") % {
        "first": date_format(first, "D j" if same else "D j F"),
        "last": date_format(last, "D j F"),
    }


def days(count: int) -> str:
    """'1 day', '3 days'."""
    return counted(count, "day")


def tag(number: int) -> str:
    """A job's number as its tag shows it: 'job 0412'."""
    return gettext("job %(number)s") % {"number": f"{number:04d}"}
