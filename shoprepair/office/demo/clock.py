"""Lets the demo's five years happen in a minute: what is done within `at` happens at that moment.

Whoever works does so while the shop is open, so hours between two moments are counted while it is.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, time, timedelta
from random import Random

from django.utils import timezone

from shoprepair.work import to_do

OPENS, CLOSES, CLOSES_SATURDAY = time(9), time(17, 30), time(13)
SATURDAY, SUNDAY = 5, 6
DAY, NOTHING = timedelta(days=1), timedelta()


@contextmanager
def at(moment: datetime) -> Iterator[None]:
    """Set the clock that records and journal read."""
    real = timezone.now
    timezone.now = lambda: moment
    try:
        yield
    finally:
        timezone.now = real


def is_open(day: date) -> bool:
    """Whether anybody works that day."""
    return day.weekday() != SUNDAY and day not in to_do.closed_days()


def open_day(day: date) -> date:
    """That day, or the last before it on which the shop is open."""
    while not is_open(day):
        day -= DAY
    return day


def opening(day: date) -> datetime:
    """When the shop opens that day."""
    return _moment(day, OPENS)


def during(day: date, rng: Random) -> datetime:
    """Some moment of that day, or of the open day before it, while the shop is open."""
    opens, closes = _hours(open_day(day))
    return opens + timedelta(seconds=rng.randrange(int((closes - opens).total_seconds())))


def open_at(moment: datetime) -> datetime:
    """That moment, or the last before it at which the shop was open."""
    day = timezone.localdate(moment)
    if day.weekday() == SUNDAY or moment < _hours(day)[0]:
        return _hours(_before(day))[1]
    return min(moment, _hours(day)[1])


def later(moment: datetime, by: timedelta) -> datetime:
    """So long after a moment, counted while the shop is open."""
    now = open_at(moment)
    while by > NOTHING:
        closes = _hours(timezone.localdate(now))[1]
        if by <= closes - now:
            return now + by
        by -= closes - now
        now = _hours(_after(timezone.localdate(now)))[0]
    return now


def earlier(moment: datetime, by: timedelta) -> datetime:
    """So long before a moment, counted while the shop is open."""
    now = open_at(moment)
    while by > NOTHING:
        opens = _hours(timezone.localdate(now))[0]
        if by <= now - opens:
            return now - by
        by -= now - opens
        now = _hours(_before(timezone.localdate(now)))[1]
    return now


def in_one_day(end: datetime, lasts: timedelta) -> datetime:
    """When something began that lasted so long without a break and was over by then."""
    end = open_at(end)
    opens = _hours(timezone.localdate(end))[0]
    return end - lasts if end - lasts >= opens else _hours(_before(timezone.localdate(end)))[1] - lasts


def worked(start: datetime, end: datetime) -> timedelta:
    """How long the shop was open between two moments."""
    start, end, total = open_at(start), open_at(end), NOTHING
    while timezone.localdate(start) < timezone.localdate(end):
        total += _hours(timezone.localdate(start))[1] - start
        start = _hours(_after(timezone.localdate(start)))[0]
    return total + max(end - start, NOTHING)


def between(start: datetime, end: datetime, count: int) -> list[datetime]:
    """`count` moments while the shop is open, in equal steps after `start` and not beyond `end`."""
    share = worked(start, end) / (count + 1)
    return [later(start, share * step) for step in range(1, count + 1)]


def _hours(day: date) -> tuple[datetime, datetime]:
    """When it opens and closes on a day that is no Sunday; all is reckoned in UTC, whatever clocks do."""
    return _moment(day, OPENS), _moment(day, CLOSES_SATURDAY if day.weekday() == SATURDAY else CLOSES)


def _moment(day: date, clock: time) -> datetime:
    return datetime.combine(day, clock, timezone.get_current_timezone()).astimezone(UTC)


def _before(day: date) -> date:
    return day - DAY * (2 if day.weekday() == 0 else 1)


def _after(day: date) -> date:
    return day + DAY * (2 if day.weekday() == SATURDAY else 1)
