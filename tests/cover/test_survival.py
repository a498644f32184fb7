"""Checked against published figures, and against lifelines on the data sets that come with it.

The worked example is the 6-MP arm of Freireich et al. 1963, Blood 21, 699; survival and standard error to
three digits as in the example results of NAG routine g12aac.
"""

import warnings
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.cover import survival

REMISSION = (6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35)
RELAPSED = (1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0)
NAG = {
    6: (0.857, 0.076),
    7: (0.807, 0.087),
    10: (0.753, 0.096),
    13: (0.690, 0.107),
    16: (0.627, 0.114),
    22: (0.538, 0.128),
    23: (0.448, 0.135),
}
WORKED = [
    (6, 21, 3, 0.8571429, 0.0763604, 0.619718, 0.951552),
    (7, 17, 1, 0.8067227, 0.0869353, 0.563147, 0.922809),
    (10, 15, 1, 0.7529412, 0.0963497, 0.503200, 0.889362),
    (13, 12, 1, 0.6901961, 0.1068147, 0.431610, 0.849066),
    (16, 11, 1, 0.6274510, 0.1140539, 0.367511, 0.804912),
    (22, 7, 1, 0.5378151, 0.1282338, 0.267779, 0.746791),
    (23, 6, 1, 0.4481793, 0.1345915, 0.188052, 0.680143),
]


def rows():
    return survival.kaplan_meier(REMISSION, [bool(e) for e in RELAPSED])


def test_the_curve_is_the_published_one():
    assert {row.time: (round(row.survival, 3), round(row.standard_error, 3)) for row in rows()} == NAG


@pytest.mark.parametrize("worked", WORKED)
def test_every_step_has_the_worked_number_at_risk_error_and_band(worked):
    time, at_risk, events, share, error, low, high = worked
    row = survival.at(rows(), time)

    assert (row.at_risk, row.events) == (at_risk, events)
    assert (row.survival, row.standard_error) == pytest.approx((share, error), abs=5e-8)
    assert (row.low, row.high) == pytest.approx((low, high), abs=5e-7)


@pytest.fixture(scope="module")
def lifelines():
    # It takes seconds to import, and its own dependencies warn of things that are not ours.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import lifelines
        import lifelines.datasets

        yield lifelines


SETS = [
    ("load_leukemia", "t", "status"),
    ("load_waltons", "T", "E"),
    ("load_rossi", "week", "arrest"),
    ("load_larynx", "time", "death"),
    ("load_lung", "time", "status"),
    ("load_gbsg2", "time", "cens"),
]


@pytest.mark.parametrize(("name", "time", "event"), SETS)
def test_lifelines_draws_the_same_curve_and_the_same_band(lifelines, name, time, event):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        data = getattr(lifelines.datasets, name)()
        fitted = lifelines.KaplanMeierFitter().fit(data[time], data[event])
        theirs = fitted.survival_function_["KM_estimate"]
        band = fitted.confidence_interval_
    ours = survival.kaplan_meier(list(data[time]), [bool(e) for e in data[event]])

    assert ours
    for row in ours:
        assert row.survival == pytest.approx(theirs[row.time], abs=1e-9)
        assert row.at_risk == fitted.event_table["at_risk"][row.time]
        if row.survival > 0:
            limits = (band["KM_estimate_lower_0.95"][row.time], band["KM_estimate_upper_0.95"][row.time])
            assert (row.low, row.high) == pytest.approx(limits, abs=1e-9)


lives = st.lists(st.tuples(st.floats(0, 50, allow_subnormal=False), st.booleans()), min_size=1, max_size=40)


@given(lives)
def test_a_curve_only_ever_falls_and_lies_within_its_band(drawn):
    found = survival.kaplan_meier([t for t, _ in drawn], [e for _, e in drawn])

    assert all(after.survival < before.survival for before, after in pairwise(found))
    assert all(0 <= row.low <= row.survival <= row.high <= 1 for row in found)


@given(lives)
def test_with_nothing_censored_the_curve_is_the_share_that_is_left(drawn):
    times = [t for t, _ in drawn]

    for row in survival.kaplan_meier(times, [True] * len(times)):
        left = sum(t > row.time for t in times) / len(times)
        assert row.survival == pytest.approx(left, abs=1e-12)


def test_when_all_have_failed_the_band_still_does_not_say_that_none_could_hold():
    last = survival.kaplan_meier([1, 2, 3], [True] * 3)[-1]

    assert (last.time, last.at_risk, last.events) == (3, 1, 1)
    assert (last.survival, last.standard_error, last.low) == (0, 0, 0)
    assert last.high == pytest.approx(0.774149, abs=5e-7)


def test_without_a_failure_there_is_no_step():
    assert survival.kaplan_meier([1.0, 4.0], [False, False]) == []
    assert survival.at([], 3) is None
    assert survival.kaplan_meier([], []) == []


def test_the_numbers_at_risk_count_who_reached_a_time():
    assert survival.at_risk(REMISSION, [0, 6, 10, 20, 36]) == [21, 21, 15, 8, 0]


def test_sixty_repairs_of_three_years_without_a_claim_say_little_about_ten_years():
    assert survival.wearing_out_bound([3.0] * 60, 10) == pytest.approx(0.425792951, abs=5e-10)
    assert survival.wearing_out_bound([], 10) == survival.wearing_out_bound([0.0], 10) == 1
    # That one has held for a year says next to nothing: nineteen in twenty may still fail within one.
    assert survival.wearing_out_bound([1.0], 1) == pytest.approx(0.95)
    assert survival.wearing_out_bound([0.5], 0.5, confidence=0.8) == pytest.approx(0.8)
    assert survival.wearing_out_bound([2.0], 1.0, shape=3.0) == pytest.approx(1 - 0.05 ** (1 / 8))


def test_250_years_without_a_claim_leave_room_for_a_claim_in_83_years():
    assert survival.zero_claim_bound(250) == pytest.approx(0.0119829291, abs=5e-11)
    assert survival.zero_claim_bound(250, 0.8) == pytest.approx(0.0064377516, abs=5e-11)


def test_a_life_of_less_than_nought_is_no_life():
    with pytest.raises(ValueError, match=r"^A life lasts nought or longer.$"):
        survival.kaplan_meier([-1.0], [True])


def test_of_every_life_it_is_known_whether_it_failed():
    with pytest.raises(ValueError, match="shorter"):
        survival.kaplan_meier([1.0, 2.0], [True])
