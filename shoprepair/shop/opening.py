"""On which days the shop is open, and from when to when."""

import datetime
from collections.abc import Callable, Iterator
from itertools import groupby

from django.utils.dates import WEEKDAYS_ABBR

from shoprepair.shop.models import Shop
from shoprepair.shop.weeks import weekdays

Closed = Callable[[], frozenset[datetime.date]]
USUAL = frozenset(range(5))
"""Weekdays on which a shop is open that has not said its hours yet: the days that its bench plans too."""
_DAY = datetime.timedelta(days=1)
_LONGEST = 2 * 366
_closed: list[Closed] = []


def add_closed(days: Closed) -> None:
    """Have days off respected that a package above keeps."""
    if days not in _closed:
        _closed.append(days)


def open_on(shop: Shop, day: datetime.date) -> datetime.date:
    """That day, or the next on which the shop is open: neither off in every week nor closed for once.

    Where everything is closed for years, that day.
    """
    week = {int(each) for each in shop.working_hours} or USUAL
    off = frozenset().union(*(days() for days in _closed))
    ahead = (day + count * _DAY for count in range(_LONGEST))
    return next((each for each in ahead if each.weekday() in week and each not in off), day)


def hours(shop: Shop) -> tuple[tuple[str, str], ...]:
    """Days as the shop's week runs and their hours, those alike together: ("Mon–Fri", "09:00–17:30").

    Closed days are left out.
    """
    return tuple(_alike(weekdays(shop), shop.working_hours))


def _alike(order: list[int], week: dict[str, list[str]]) -> Iterator[tuple[str, str]]:
    for said, alike in groupby(order, lambda day: tuple(week.get(str(day), ()))):
        if said:
            days = list(alike)
            names = [str(WEEKDAYS_ABBR[day]) for day in (days[0], days[-1])]
            yield "–".join(names[: len(days)]), "–".join(said)
