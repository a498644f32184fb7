"""On which days the shop is open, and from when to when."""

import datetime
from collections.abc import Iterator
from itertools import groupby

from django.utils.dates import WEEKDAYS_ABBR

from shoprepair.shop.models import Shop
from shoprepair.shop.weeks import weekdays

_DAY = datetime.timedelta(days=1)


def open_on(shop: Shop, day: datetime.date) -> datetime.date:
    """That day, or the next on which the shop is open; that day where nobody has said its hours."""
    week = (day + ahead * _DAY for ahead in range(7))
    return next((each for each in week if str(each.weekday()) in shop.working_hours), day)


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
