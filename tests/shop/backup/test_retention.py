"""Which backups stay is a rule of its own."""

from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.shop.backup.retention import DAYS, MONTHS, WEEKS, kept

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
HOURS_BACK = st.lists(st.integers(0, 800 * 24), max_size=25, unique=True)


def nights(count: int) -> list[datetime]:
    return [NOON - timedelta(days=day) for day in range(count)]


def test_of_two_years_of_nights_a_week_a_month_and_a_year_stay():
    stay = kept(nights(730))

    assert {NOON - timedelta(days=day) for day in range(7)} <= stay
    assert {at.date().isoformat() for at in stay if at < NOON - timedelta(days=7)} == {
        *("2026-11-15", "2026-11-08"),
        *("2026-10-31", "2026-09-30", "2026-08-31", "2026-07-31", "2026-06-30", "2026-05-31"),
        *("2026-04-30", "2026-03-31", "2026-02-28", "2026-01-31", "2025-12-31"),
    }


def test_of_one_day_the_newest_stays():
    assert kept([NOON, NOON - timedelta(hours=3)]) == {NOON}


def test_a_shop_that_was_closed_for_a_season_still_has_its_last_seven():
    before = [at - timedelta(days=200) for at in nights(7)]

    assert set(before) <= kept([NOON, *before]) | {min(before)}


@settings(max_examples=15)
@given(HOURS_BACK)
def test_the_newest_stays_whatever_else_goes(hours):
    found = [NOON - timedelta(hours=each) for each in hours]
    stay = kept(found)

    assert stay <= set(found)
    assert not found or max(found) in stay
    assert len(stay) <= DAYS + WEEKS + MONTHS


@settings(max_examples=15)
@given(HOURS_BACK)
def test_what_stayed_once_stays_until_something_newer_comes(hours):
    stay = kept(NOON - timedelta(hours=each) for each in hours)
    assert kept(stay) == stay
