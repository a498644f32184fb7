from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.work.people import DAY, Hours, Person, check_people
from tests.work.shop import ANNA, TODAY, crews, in_days, unhurried

HOURS = Hours(ANNA, TODAY, frozenset())


def test_a_step_of_more_than_a_day_goes_on_in_the_morning():
    """300 minutes on Monday from nine, the rest on Tuesday."""
    assert list(HOURS.pieces(240, 360)) == [(540 + 240, 540 + 300), (DAY + 540, DAY + 600)]


def test_after_friday_comes_monday():
    friday_end = 4 * 300 + 240
    assert HOURS.begins(friday_end) == 7 * DAY + 540


def test_holidays_and_days_away_are_skipped():
    away = replace(ANNA, away=frozenset({in_days(1)}))
    assert Hours(away, TODAY, frozenset({in_days(0)})).begins(0) == 2 * DAY + 540


def test_what_comes_in_overnight_is_worked_in_the_morning():
    assert HOURS.begins(HOURS.at(23 * 60)) == DAY + 540


@unhurried
@given(crews(), st.integers(0, 40 * DAY))
def test_the_bench_minutes_and_the_clock_agree(people, clock):
    for person in people:
        if person.works:
            hours = Hours(person, TODAY, frozenset())
            minute = hours.at(clock)
            assert hours.begins(minute) >= clock
            assert minute == 0 or hours.begins(minute - 1) < clock
            done = hours.done_by(clock)
            assert hours.begins(done - 1) + 1 >= clock
            assert done <= 1 or hours.begins(done - 2) + 1 < clock


@pytest.mark.parametrize(
    ("people", "sentence"),
    [
        ((), "Nobody has bench minutes"),
        ((replace(ANNA, minutes=(0,) * 7),), "Nobody has bench minutes"),
        ((ANNA, ANNA), "same name"),
        ((Person(name="Carl", minutes=(300,)),), "seven weekdays"),
        ((Person(name="Carl", minutes=(1000,) * 7),), "do not fit into a day"),
        ((Person(name="Carl", minutes=(300, -5, 0, 0, 0, 0, 0)),), "do not fit into a day"),
    ],
)
def test_a_bench_that_cannot_be_is_refused(people, sentence):
    with pytest.raises(ValueError, match=sentence):
        check_people(people)
