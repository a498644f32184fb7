"""On which days the shop is open, and from when to when."""

import datetime

import pytest

from shoprepair.shop import opening
from shoprepair.shop.models import Shop, WeekBegins
from shoprepair.work.models import Holiday
from tests.factories import StaffFactory

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)

MONDAY, SATURDAY = datetime.date(2026, 11, 30), datetime.date(2026, 11, 28)
SUNDAY = datetime.date(2026, 11, 29)
LONG, SHORT = ["09:00", "17:30"], ["09:00", "13:00"]
WEEK = {**{str(day): LONG for day in range(5)}, "5": SHORT}


@pytest.mark.parametrize(("day", "opens"), [(SATURDAY, SATURDAY), (SUNDAY, MONDAY), (MONDAY, MONDAY)])
def test_a_closed_day_gives_way_to_the_next_open_one(day: datetime.date, opens: datetime.date) -> None:
    assert opening.open_on(Shop(working_hours=WEEK), day) == opens


def test_a_new_shop_promises_nothing_for_a_weekend() -> None:
    assert opening.open_on(Shop(), SATURDAY) == MONDAY
    assert opening.open_on(Shop(), MONDAY) == MONDAY
    assert opening.hours(Shop()) == ()


def test_a_day_off_gives_way_as_a_sunday_does() -> None:
    Holiday.objects.create(first_day=MONDAY, last_day=MONDAY + DAY)

    assert opening.open_on(Shop(working_hours=WEEK), SUNDAY) == MONDAY + 2 * DAY


def test_a_day_that_one_person_has_off_is_no_day_off_of_the_shop() -> None:
    Holiday.objects.create(who=StaffFactory(), first_day=MONDAY, last_day=MONDAY)

    assert opening.open_on(Shop(working_hours=WEEK), MONDAY) == MONDAY


def test_the_hours_are_said_for_days_alike_together() -> None:
    assert opening.hours(Shop(working_hours=WEEK)) == (("Mon–Fri", "09:00–17:30"), ("Sat", "09:00–13:00"))


def test_a_closed_day_between_parts_what_is_alike() -> None:
    week = {"1": LONG, "2": LONG, "4": LONG}
    assert opening.hours(Shop(working_hours=week)) == (("Tue–Wed", "09:00–17:30"), ("Fri", "09:00–17:30"))


def test_where_the_week_begins_on_sunday_its_hours_come_first() -> None:
    week = {str(day): LONG for day in (6, 0, 1)} | {"5": SHORT}
    american = Shop(working_hours=week, week_begins=WeekBegins.SUNDAY)
    assert opening.hours(american) == (("Sun–Tue", "09:00–17:30"), ("Sat", "09:00–13:00"))
