import datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from shoprepair.shop.weeks import IsoWeek, up_to

HOUR = datetime.timedelta(hours=1)


def test_a_week_belongs_to_the_year_of_its_thursday():
    """ISO 8601: 1 January 2027 is a Friday, and 29 December 2025 a Monday."""
    assert IsoWeek.of(datetime.date(2027, 1, 1)) == IsoWeek(2026, 53)
    assert IsoWeek.of(datetime.date(2025, 12, 29)) == IsoWeek(2026, 1)


def test_a_moment_belongs_to_a_week_by_the_shops_clock():
    sunday_night = datetime.datetime(2026, 11, 30, 3, 30, tzinfo=datetime.UTC)
    with timezone.override("America/New_York"):
        assert IsoWeek.of(sunday_night) == IsoWeek(2026, 48)
    with timezone.override("Pacific/Auckland"):
        assert IsoWeek.of(sunday_night) == IsoWeek(2026, 49)


@pytest.mark.parametrize(("number", "hours"), [(12, 168), (13, 167), (43, 169), (44, 168)])
def test_a_week_in_which_the_clocks_change_is_an_hour_shorter_or_longer(number, hours):
    """Central Europe changed on 29 March and on 25 October 2026."""
    with timezone.override("Europe/Berlin"):
        week = IsoWeek(2026, number)
        assert (week.ends.astimezone(datetime.UTC) - week.begins.astimezone(datetime.UTC)) / HOUR == hours
        assert week.begins.tzinfo == ZoneInfo("Europe/Berlin")
        assert week.back(-1).begins == week.ends


def test_weeks_stand_in_a_row_over_the_turn_of_a_year():
    assert [str(week) for week in up_to(IsoWeek(2027, 1), 3)] == ["2026-w52", "2026-w53", "2027-w01"]


def test_an_address_leads_to_its_week_and_back():
    assert str(IsoWeek.read("2026-w05")) == "2026-w05"
    assert IsoWeek(2026, 5).words == "Mon 26 Jan to Sun 1 Feb"
    assert IsoWeek(2026, 48).words == "Mon 23 to Sun 29 Nov"


@pytest.mark.parametrize(
    "written", ["2025-w53", "2026-w00", "2026-w54", "2026-w5", "0001-w01", "9999-w01", "", "w"]
)
def test_what_is_no_week_is_refused(written):
    with pytest.raises(ValueError, match="week"):
        IsoWeek.read(written)
