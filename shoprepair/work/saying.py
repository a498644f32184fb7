"""Dates, times and jobs as the bench says them; figures stay in a Sentence until somebody reads them."""

from datetime import date, datetime

from django.utils.translation import gettext

from shoprepair.shop.counted import counted


def moment(at: datetime) -> str:
    """'14:05 on Fri 27 Nov', by the clock on the wall."""
    return gettext("%(at)s on %(day)s") % {"at": f"{at:%H:%M}", "day": day(at.date())}


def day(on: date) -> str:
    """'Fri 27 Nov'."""
    return f"{on:%a} {on.day} {on:%b}"


def span(first: date, last: date) -> str:
    """'Thu 3 to Mon 7 December', the month once where it is the same; of one day 'Thu 3 December'."""
    if first == last:
        return f"{first:%a} {first.day} {first:%B}"
    month = "" if (first.year, first.month) == (last.year, last.month) else f" {first:%B}"
    return gettext("%(first)s %(day)s%(month)s to %(last)s %(day_2)s %(last_2)s") % {
        "first": f"{first:%a}",
        "day": first.day,
        "month": month,
        "last": f"{last:%a}",
        "day_2": last.day,
        "last_2": f"{last:%B}",
    }


def days(count: int) -> str:
    """'1 day', '3 days'."""
    return counted(count, "day")


def tag(number: int) -> str:
    """A job's number as its tag shows it: 'job 0412'."""
    return gettext("job %(number)s") % {"number": f"{number:04d}"}
