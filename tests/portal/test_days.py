"""Days on a customer's pages, written one way."""

from datetime import UTC, date, datetime

import pytest
import time_machine
from django.utils import translation

from shoprepair.portal import days


@pytest.fixture(autouse=True)
def _in_november():
    with time_machine.travel("2026-11-25T09:00Z", tick=False):
        yield


def read(said: str) -> str:
    return said.replace("\N{NO-BREAK SPACE}", " ")


def test_of_two_days_no_weekday_ends_a_line_without_its_day() -> None:
    said = days.span(date(2026, 12, 7), date(2026, 12, 14))
    assert said == "Monday\N{NO-BREAK SPACE}7 to Monday\N{NO-BREAK SPACE}14 December"


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2026, 12, 3), date(2026, 12, 7), "Thursday 3 to Monday 7 December"),
        (date(2026, 11, 30), date(2026, 12, 3), "Monday 30 November to Thursday 3 December"),
        (date(2026, 12, 3), date(2026, 12, 3), "Thursday 3 December"),
        (date(2026, 12, 30), date(2027, 1, 4), "Wednesday 30 December 2026 to Monday 4 January 2027"),
    ],
)
def test_two_days_are_written_as_one_is(first: date, last: date, said: str) -> None:
    assert read(days.span(first, last)) == said


def test_the_year_is_said_where_it_is_another() -> None:
    assert days.day(date(2026, 12, 3)) == "Thursday 3 December"
    assert days.day(date(2027, 1, 8)) == "Friday 8 January 2027"


def test_a_moment_is_its_day_and_the_clock_on_the_wall() -> None:
    assert days.moment(datetime(2026, 11, 25, 8, 5, tzinfo=UTC)).startswith("Wednesday 25 November, ")


def test_other_languages_write_it_their_way() -> None:
    with translation.override("de"):
        assert read(days.span(date(2026, 12, 3), date(2026, 12, 7))) == "Donnerstag 3. bis Montag 7. Dezember"
    with translation.override("es"):
        assert "diciembre" in days.day(date(2026, 12, 3))
