from datetime import datetime, timedelta
from itertools import permutations
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.shop.units import Units, say
from shoprepair.work.hold_test import Allowance, Verdict, judge
from shoprepair.work.sealed import TestedTube
from tests.work.holding import BAR, ICE, MORNING, TUBE, USUAL, judged, later, reading

HOLDS, FAILS, OPEN = Verdict.HOLDS, Verdict.FAILS, Verdict.OPEN
BEST_TO_WORST = [HOLDS, OPEN, FAILS]
PSI = 6894.757293168
unhurried = settings(deadline=None, max_examples=25)
kelvins = st.floats(275, 325)
tubes = st.builds(
    TestedTube,
    volume_m3=st.floats(0.01, 0.5),
    radius_m=st.floats(0.03, 0.2),
    stiffness_n_per_m=st.floats(200e3, 1200e3),
)
paths = st.lists(st.tuples(st.floats(0.01, 5), kelvins), min_size=1, max_size=5)
"""Hours until the next reading, and how warm it is then."""


def path_of(first, steps, tube, left=lambda hours: 1.0):
    hours, found = 0.0, [first]
    for wait, kelvin in steps:
        hours += wait
        found.append(later(first, hours, kelvin, tube, left=left(hours)))
    return found


def said(answer):
    return say(answer.reason, Units())


def test_before_any_reading_it_says_how_to_begin():
    assert judge([], tube=TUBE, allowance=USUAL).verdict is OPEN
    assert "pump to test pressure" in judge([], tube=TUBE, allowance=USUAL).reason.text


def test_one_reading_tells_when_the_second_would_decide():
    """1 % of 0.5 bar and 1 K (516.203 Pa), twice: 1016.3 Pa; 2 % an hour allow that in 61 minutes."""
    answer = judged(reading(0.5))
    assert answer.verdict is OPEN
    assert answer.decides_at == MORNING + timedelta(minutes=65)
    assert "10:05 on Tue 24 Nov" in answer.next_reading.text
    assert len(answer.band) == 2


def test_a_tube_that_lost_nothing_holds_once_the_time_is_up():
    assert judged(reading(0.5), reading(0.5, minutes=50)).verdict is OPEN
    assert judged(reading(0.5), reading(0.5, minutes=65)).verdict is HOLDS


def test_a_loss_is_told_no_finer_than_it_is_sure():
    """Both readings are unsure by 0.01 bar together: 0.00007 bar are told as nothing."""
    assert "it lost 0.001 bar in" in said(judged(reading(0.5), reading(0.49933, minutes=65)))
    assert "it lost nothing in" in said(judged(reading(0.5), reading(0.49993, minutes=65)))


def test_a_finer_gauge_and_a_generous_shop_still_wait_for_the_least_duration():
    allowance = Allowance(share_per_hour=0.5, least_s=3600)
    assert judged(reading(0.5), reading(0.5, minutes=59), allowance=allowance).verdict is OPEN
    assert judged(reading(0.5), reading(0.5, minutes=60), allowance=allowance).verdict is HOLDS


def test_a_tenth_lost_in_ten_minutes_needs_no_second_look():
    """0.05 bar of 92.4 l in 600 s: 455.959 ml/min (20 °C) by pressure decay; the cloth's give adds 4.3 %."""
    answer = judged(reading(0.50), reading(0.45, minutes=10))
    assert answer.verdict is FAILS
    assert answer.leak.loss_per_hour == pytest.approx(0.6)
    assert answer.leak.ml_per_minute == pytest.approx(455.958549 * 1.043, rel=1e-3)
    assert answer.leak.pinhole_m == pytest.approx(0.00024, rel=0.03)
    assert "it lost 0.05 bar in 10 min" in said(answer)


def test_the_same_leak_on_a_tube_one_degree_cooler_looks_a_tenth_smaller_until_corrected():
    """1 K is 516.203 Pa at 0.5 bar: of 0.77 Pa m3/s raw only 0.692868 were lost (rigid vessel)."""
    rigid = TestedTube(volume_m3=0.0924, radius_m=0.1, stiffness_n_per_m=1e15)
    answer = judged(reading(0.50), reading(0.45, 19.0, minutes=10), tube=rigid)
    assert answer.leak.pa_m3_per_s == pytest.approx(0.692868218, rel=1e-3)


def test_an_evening_that_cools_the_air_is_not_taken_for_a_leak():
    """0.5 bar from 30 to 15 °C falls by 14.975 % with no air lost (gas law)."""
    answer = judged(reading(0.5, 30), reading(0.425123701, 15, minutes=180))
    assert answer.verdict is HOLDS
    assert any("cooled from {before} to {after}" in note.text for note in answer.notes)


def test_pressure_rising_in_the_sun_can_hide_a_leak():
    """0.5 bar from 15 to 50 °C rises to 0.68 bar in a sound tube (gas law); at 0.55 bar air is missing."""
    sound = judged(reading(0.5, 15), reading(0.68, 50, minutes=120))
    leaking = judged(reading(0.5, 15), reading(0.55, 50, minutes=120))
    assert (sound.verdict, leaking.verdict) == (HOLDS, FAILS)


def test_a_casing_in_the_sun_beside_a_thermometer_in_the_shade_is_seen_through():
    answer = judged(reading(0.5, 20), reading(0.62, 21, minutes=120))
    assert answer.verdict is OPEN
    assert "more than the temperatures explain" in answer.reason.text
    assert answer.leak is None


def test_a_tube_pumped_up_again_begins_anew():
    answer = judged(reading(0.5), reading(0.4, minutes=60), reading(0.5, minutes=70))
    assert answer.verdict is OPEN
    assert "pumped again" in answer.reason.text


def test_the_order_in_which_readings_were_written_down_does_not_matter():
    readings = [reading(0.5), reading(0.49, 19, minutes=30), reading(0.48, 18, minutes=90)]
    assert len({repr(judge(order, tube=TUBE, allowance=USUAL)) for order in permutations(readings)}) == 1


@pytest.mark.parametrize(("day", "month", "wall_hours"), [(25, 10, 1), (29, 3, 3)])
def test_the_hour_of_a_clock_change_is_neither_lost_nor_won(day, month, wall_hours):
    """Lisbon 2026: two true hours are one hour on the wall in October, three in March."""
    zone = ZoneInfo("Europe/Lisbon")
    start = datetime(2026, month, day, 0, 30, tzinfo=zone)
    end = datetime(2026, month, day, wall_hours, 30, tzinfo=zone, fold=1)
    answer = judged(reading(0.5, at=start), reading(0.49, at=end))
    assert answer.missing[0].seconds == 2 * 3600
    assert answer.leak.loss_per_hour == pytest.approx(0.01)
    assert any("clocks were changed" in note.text for note in answer.notes)


def test_a_gauge_changed_from_psi_to_bar_midway_is_said_and_counted():
    answer = judged(
        reading(7.25 * PSI / BAR, typed="7.25 psi"), reading(0.5, minutes=120, typed="0.50 bar", step_pa=1000)
    )
    assert [r.typed for r in answer.readings] == ["7.25 psi", "0.50 bar"]
    assert any("changed from psi to bar" in note.text for note in answer.notes)
    assert answer.verdict is HOLDS


def test_a_figure_typed_in_the_wrong_unit_is_guessed_at():
    """7.25 kPa where 7.25 psi was meant."""
    answer = judged(reading(0.0725, typed="7.25 kPa"), reading(0.5, minutes=60, typed="0.50 bar"))
    assert "Was it kPa for psi" in answer.reason.text


def test_a_gauge_that_never_moves_though_the_day_warms_is_dead():
    answer = judged(reading(0.5, 15), reading(0.5, 30, minutes=60), reading(0.5, 40, minutes=120))
    assert answer.verdict is OPEN
    assert "stands still" in answer.reason.text


def test_a_gauge_that_never_moves_on_an_even_day_is_a_tube_that_holds():
    assert judged(reading(0.5, 20), reading(0.5, 20.5, minutes=120)).verdict is HOLDS


def test_a_gauge_that_reads_nought_from_the_start_measured_nothing():
    answer = judged(reading(0.0), reading(0.0, minutes=60))
    assert answer.verdict is OPEN
    assert "gauge is not on the valve" in answer.reason.text


def test_a_gauge_that_falls_to_nought_fails_the_tube_but_says_where_to_look():
    answer = judged(reading(0.5), reading(0.0, minutes=5))
    assert answer.verdict is FAILS
    assert any("press the tube" in note.text for note in answer.notes)


def test_two_figures_for_one_moment_contradict_each_other():
    answer = judged(reading(0.5), reading(0.3))
    assert answer.verdict is OPEN
    assert "contradict each other" in answer.reason.text


def test_the_same_reading_sent_twice_counts_once():
    twice = judged(reading(0.5), reading(0.5))
    assert twice.verdict is OPEN
    assert "All readings are of one moment" in twice.reason.text
    once, doubled = (
        judged(reading(0.5), reading(0.49, minutes=60)),
        judged(reading(0.5), reading(0.49, minutes=60), reading(0.49, minutes=60)),
    )
    assert once == doubled


def test_a_tube_carried_up_the_hill_is_not_taken_for_pumped():
    """Sea level to 1000 m at one temperature: 0.5 bar becomes 0.6145 bar (ISO 2533)."""
    answer = judged(reading(0.5, height_m=0), reading(0.6140, height_m=1000, minutes=120))
    assert answer.verdict is HOLDS
    assert any("another height" in note.text for note in answer.notes)


def test_a_shop_on_the_mountain_need_not_say_its_height_each_time():
    shop = TestedTube(volume_m3=0.0924, radius_m=0.1, stiffness_n_per_m=645e3, home_height_m=1500)
    same, said_once = (
        judged(reading(0.5, 15, height_m=h), reading(0.55, 25, minutes=120), tube=shop) for h in (None, 1500)
    )
    assert same.leak == said_once.leak


def test_overnight_the_weather_is_named_beside_the_verdict():
    overnight, quick = (judged(reading(0.5), reading(0.499, minutes=m)) for m in (720, 120))
    assert any("weather alone" in note.text for note in overnight.notes)
    assert not any("weather alone" in note.text for note in quick.notes)


def test_a_reading_of_the_future_is_refused():
    with pytest.raises(ValueError, match="lies in the future"):
        judged(reading(0.5), reading(0.5, minutes=90), now=MORNING + timedelta(hours=1))


def test_a_fresh_tube_that_settles_at_once_is_told_apart_from_a_steady_leak():
    settling = judged(reading(0.5), reading(0.47, minutes=10), reading(0.469, minutes=120))
    steady = judged(reading(0.5), reading(0.485, minutes=60), reading(0.47, minutes=120))
    assert any("fresh cloth gives" in note.text for note in settling.notes)
    assert not any("fresh cloth gives" in note.text for note in steady.notes)


def test_a_loss_right_at_the_allowance_cannot_be_parted_from_it_by_waiting():
    answer = judged(reading(0.5), reading(0.48, minutes=120))
    assert (answer.verdict, answer.decides_at) == (OPEN, None)
    assert "look for the leak" in answer.next_reading.text


def test_no_tube_passes_on_a_shop_that_allows_nothing():
    with pytest.raises(ValueError, match="loss allowed an hour must be more than zero"):
        judged(reading(0.5), allowance=Allowance(share_per_hour=0))


def test_every_figure_of_the_answer_can_be_opened():
    names = [figure.name for figure in judged(reading(0.5), reading(0.45, minutes=10)).figures]
    assert names[:4] == ["first pressure", "first temperature", "last pressure", "last temperature"]
    assert names[-2:] == ["pinhole", "time to soft"]


@unhurried
@given(tubes, st.floats(0.2, 1.0), kelvins, paths)
def test_a_sealed_tube_is_never_said_to_leak_however_warm_the_day(tube, bar, kelvin, steps):
    answer = judge(path_of(reading(bar, kelvin - ICE), steps, tube), tube=tube, allowance=USUAL)
    assert answer.verdict is not FAILS
    for shown, expected in zip(answer.readings, answer.band, strict=False):
        assert expected.low_pa <= shown.pressure_pa <= expected.high_pa


@unhurried
@given(tubes, st.floats(0.2, 1.0), kelvins, paths, kelvins)
def test_a_sealed_tube_passes_once_it_stood_long_enough(tube, bar, kelvin, steps, last):
    """A day: long enough for any of these, as 1 K weighs more the softer the tube."""
    first = reading(bar, kelvin - ICE)
    readings = [*path_of(first, steps, tube), later(first, 30, last, tube)]
    assert judge(readings, tube=tube, allowance=USUAL).verdict is HOLDS


@unhurried
@given(tubes, st.floats(0.2, 1.0), kelvins)
def test_a_sound_tube_is_decided_by_the_reading_it_was_told_to_wait_for(tube, bar, kelvin):
    first = reading(bar, kelvin - ICE)
    wait = judge([first], tube=tube, allowance=USUAL).decides_at - first.at
    second = later(first, wait.total_seconds() / 3600, kelvin, tube)
    assert judge([first, second], tube=tube, allowance=USUAL).verdict is HOLDS


@unhurried
@given(tubes, kelvins, paths, st.floats(0, 0.9), st.floats(0, 0.9))
def test_a_bigger_leak_is_never_judged_better(tube, kelvin, steps, one, other):
    """Air falls off toward that of an open tube, quicker by the bigger leak, along any temperatures."""
    first = reading(0.6, kelvin - ICE)
    open_tube = 101325 / (101325 + first.pressure_pa)

    def verdict(rate):
        path = path_of(first, steps, tube, lambda hours: open_tube + (1 - open_tube) * (1 - rate) ** hours)
        return judge(path, tube=tube, allowance=USUAL).verdict

    smaller, bigger = (BEST_TO_WORST.index(verdict(rate)) for rate in sorted((one, other)))
    assert smaller <= bigger


@unhurried
@given(
    st.lists(st.tuples(st.floats(0, 1), st.floats(-5, 50), st.integers(0, 300)), min_size=1, max_size=6),
    st.data(),
)
def test_whatever_is_written_down_gets_an_answer_and_the_same_in_any_order(figures, data):
    readings = [reading(bar, celsius, minutes=minutes) for bar, celsius, minutes in figures]
    shuffled = data.draw(st.permutations(readings))
    answers = [judge(order, tube=TUBE, allowance=USUAL) for order in (readings, shuffled)]
    assert answers[0] == answers[1]
    assert say(answers[0].reason, Units())
    for note in answers[0].notes:
        assert say(note, Units(pressure="psi", length="in", temperature="°F"))
