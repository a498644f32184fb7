"""Lets the demo's five years happen in a minute: what is done within `at` happens at that moment."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time, timedelta
from random import Random

from django.utils import timezone

OPENS, CLOSES = time(9), time(17, 30)
SUNDAY = 6


@contextmanager
def at(moment: datetime) -> Iterator[None]:
    """Set the clock that records and journal read."""
    real = timezone.now
    timezone.now = lambda: moment
    try:
        yield
    finally:
        timezone.now = real


def open_day(day: date) -> date:
    """That day, or the Saturday before a Sunday."""
    return day - timedelta(days=1) if day.weekday() == SUNDAY else day


def opening(day: date) -> datetime:
    """When the shop opens that day."""
    return datetime.combine(day, OPENS, timezone.get_current_timezone())


def during(day: date, rng: Random) -> datetime:
    """Some moment of that day, or of the open day before it, while the shop is open."""
    seconds = (CLOSES.hour - OPENS.hour) * 3600 + (CLOSES.minute - OPENS.minute) * 60
    return opening(open_day(day)) + timedelta(seconds=rng.randrange(seconds))


def between(start: datetime, end: datetime, count: int) -> list[datetime]:
    """`count` moments in equal steps after `start` and not beyond `end`."""
    return [start + (end - start) * step / (count + 1) for step in range(1, count + 1)]
