"""On which days the shop is open, and from when to when."""

import datetime

import pytest

from shoprepair.shop import opening
from shoprepair.shop.models import Shop, WeekBegins

MONDAY, SATURDAY = datetime.date(2026, 11, 30), datetime.date(2026, 11, 28)
SUNDAY = datetime.date(2026, 11, 29)
LONG, SHORT = ["09:00", "17:30"], ["09:00", "13:00"]
WEEK = {**{str(day): LONG for day in range(5)}, "5": SHORT}


@pytest.mark.parametrize(("day", "opens"), [(SATURDAY, SATURDAY), (SUNDAY, MONDAY), (MONDAY, MONDAY)])
def test_a_closed_day_gives_way_to_the_next_open_one(day: datetime.date, opens: datetime.date) -> None:
    assert opening.open_on(Shop(working_hours=WEEK), day) == opens


def test_where_nobody_has_said_the_hours_every_day_is_as_good() -> None:
    assert opening.open_on(Shop(), SUNDAY) == SUNDAY
    assert opening.hours(Shop()) == ()


def test_the_hours_are_said_for_days_alike_together() -> None:
    assert opening.hours(Shop(working_hours=WEEK)) == (("Mon–Fri", "09:00–17:30"), ("Sat", "09:00–13:00"))


def test_a_closed_day_between_parts_what_is_alike() -> None:
    week = {"1": LONG, "2": LONG, "4": LONG}
    assert opening.hours(Shop(working_hours=week)) == (("Tue–Wed", "09:00–17:30"), ("Fri", "09:00–17:30"))


def test_where_the_week_begins_on_sunday_its_hours_come_first() -> None:
    week = {str(day): LONG for day in (6, 0, 1)} | {"5": SHORT}
    american = Shop(working_hours=week, week_begins=WeekBegins.SUNDAY)
    assert opening.hours(american) == (("Sun–Tue", "09:00–17:30"), ("Sat", "09:00–13:00"))
