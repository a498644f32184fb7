from datetime import UTC, datetime, timedelta
from math import hypot
from zoneinfo import ZoneInfo

import pytest

from shoprepair.work.readings import as_one, check, in_order, most_unsure, unit_of, unsure
from tests.work.holding import MORNING, SEA_LEVEL, reading

ZONE = ZoneInfo("Europe/Lisbon")


def test_a_reading_of_the_future_is_refused_and_told_the_time():
    ahead = reading(0.5, at=MORNING + timedelta(hours=1))
    with pytest.raises(
        ValueError, match=r"10:00 on Tue 24 Nov lies in the future; it is 09:00 on Tue 24 Nov now"
    ):
        check(ahead, MORNING)


def test_a_tablet_whose_clock_runs_a_minute_ahead_may_still_read():
    check(reading(0.5, at=MORNING + timedelta(minutes=1)), MORNING)


def test_a_reading_without_a_time_zone_is_refused():
    with pytest.raises(ValueError, match="time zone"):
        check(reading(0.5, at=datetime(2026, 11, 24, 9, 0)))  # noqa: DTZ001


@pytest.mark.parametrize("celsius", [-270, 120, float("nan")])
def test_a_temperature_that_no_workshop_has_is_refused(celsius):
    with pytest.raises(ValueError, match="No tube is tested at that temperature"):
        check(reading(0.5, celsius))


@pytest.mark.parametrize("bar", [-0.1, float("nan"), float("inf")])
def test_a_gauge_reads_nought_or_more(bar):
    with pytest.raises(ValueError, match="pressure on the gauge must be zero or more"):
        check(reading(bar))


def test_a_height_beyond_the_atmosphere_is_refused():
    with pytest.raises(ValueError, match="height"):
        check(reading(0.5, height_m=20_000))


def test_the_hour_that_comes_twice_is_told_apart():
    """Lisbon, 25 October 2026: 01:30 summer time comes an hour before 01:30 winter time."""
    summer, winter = (datetime(2026, 10, 25, 1, 30, tzinfo=ZONE, fold=fold) for fold in (0, 1))
    groups = in_order([reading(0.4, at=winter), reading(0.5, at=summer)])
    assert [group[0].pressure_pa for group in groups] == [50000, 40000]
    assert groups[1][0].instant - groups[0][0].instant == timedelta(hours=1)


def test_readings_of_one_moment_count_as_their_mean():
    elsewhere = MORNING.astimezone(ZoneInfo("Asia/Tokyo"))
    groups = in_order([reading(0.50), reading(0.51, 22.0, at=elsewhere)])
    assert len(groups) == 1
    assert as_one(groups[0]).pressure_pa == pytest.approx(50500)
    assert as_one(groups[0]).temperature_k == pytest.approx(294.15)


def test_gauge_step_and_thermometer_add_up_as_independent_errors():
    """ISO/IEC Guide 98-3: 1 % of 0.5 bar, half a step of 0.01 bar, and 516.203 Pa for 1 K."""
    one = reading(0.5, step_pa=1000)
    assert unsure(one, SEA_LEVEL) == pytest.approx(hypot(500, 500, 516.203), rel=1e-6)
    assert most_unsure(one, SEA_LEVEL) == pytest.approx(1516.203, rel=1e-6)


@pytest.mark.parametrize(
    ("typed", "unit"), [("7.2 psi", "psi"), ("0,5 bar", "bar"), ("50kPa", "kpa"), ("", "")]
)
def test_each_reading_keeps_the_unit_it_was_typed_in(typed, unit):
    assert unit_of(reading(0.5, typed=typed)) == unit


def test_the_test_of_the_clock_does_not_depend_on_the_zone():
    check(reading(0.5, at=MORNING.astimezone(ZONE)), datetime(2026, 11, 24, 9, 0, tzinfo=UTC))
