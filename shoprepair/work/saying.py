"""Dates, times and jobs as the bench says them; figures stay in a Sentence until somebody reads them."""

from datetime import date, datetime


def moment(at: datetime) -> str:
    """'14:05 on Fri 27 Nov', by the clock on the wall."""
    return f"{at:%H:%M} on {day(at.date())}"


def day(on: date) -> str:
    """'Fri 27 Nov'."""
    return f"{on:%a} {on.day} {on:%b}"


def span(first: date, last: date) -> str:
    """'Thu 3 to Mon 7 December', the month once where it is the same; of one day 'Thu 3 December'."""
    if first == last:
        return f"{first:%a} {first.day} {first:%B}"
    month = "" if (first.year, first.month) == (last.year, last.month) else f" {first:%B}"
    return f"{first:%a} {first.day}{month} to {last:%a} {last.day} {last:%B}"


def days(count: int) -> str:
    """'1 day', '3 days'."""
    return f"{count} day" if count == 1 else f"{count} days"


def tag(number: int) -> str:
    """A job's number as its tag shows it: 'job 0412'."""
    return f"job {number:04d}"
