"""Dates, times and jobs as the bench says them; figures stay in a Sentence until somebody reads them."""

from datetime import date, datetime


def moment(at: datetime) -> str:
    """'14:05 on Fri 27 Nov', by the clock on the wall."""
    return f"{at:%H:%M} on {day(at.date())}"


def day(on: date) -> str:
    """'Fri 27 Nov'."""
    return f"{on:%a} {on.day} {on:%b}"


def days(count: int) -> str:
    """'1 day', '3 days'."""
    return f"{count} day" if count == 1 else f"{count} days"


def tag(number: int) -> str:
    """A job's number as its tag shows it: 'job 0412'."""
    return f"job {number:04d}"
