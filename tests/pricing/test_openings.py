from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.pricing.openings import OutOfReach, plan

POINTS = [0.10, 0.35, 0.42, 0.90, 1.55, 1.60, 2.10, 2.45]


def points(places):
    return [(place, 0.0) for place in places]


def fewest(repairs, length_m=3.0, opening_m=0.30, reach_m=0.10, forbidden=()):
    """With openings of one length, the plan is the fewest windows of opening + 2 x reach."""
    return plan(repairs, length_m, 15.0, 40.0, reach_m, opening_m, forbidden, most_m=opening_m)


def serves(opening, repair, reach_m):
    return (
        opening[0] - reach_m <= repair[0] - repair[1] + 1e-9
        and opening[1] + reach_m >= repair[0] + repair[1] - 1e-9
    )


def test_eight_damages_take_four_openings_of_half_a_metre():
    """Greedy from the left on points, an exercise of the standard algorithms texts (from memory)."""
    assert len(fewest(points(POINTS))) == 4


def test_six_damages_take_three_openings_of_one_metre():
    assert len(fewest(points([0.5, 1, 1.5, 2, 2.7, 3.6]), 5.0, 0.8, 0.1)) == 3


def test_the_first_list_with_longer_reach_still_takes_four():
    assert len(fewest(points(POINTS), reach_m=0.15)) == 4


def test_a_valve_moves_the_second_opening_but_not_their_number():
    openings = fewest(points(POINTS), reach_m=0.15, forbidden=[(0.30, 0.50)])
    assert len(openings) == 4
    assert all(end <= 0.30 + 1e-9 or start >= 0.50 - 1e-9 for start, end in openings)


def test_a_repair_behind_a_wide_fitting_is_said_to_be_out_of_reach():
    shifted = [
        1 + place for place in POINTS
    ]  # away from the tube's end, so that only the fitting is in the way
    with pytest.raises(OutOfReach, match=r"1\.42 m cannot be reached"):
        fewest(points(shifted), 4.0, reach_m=0.15, forbidden=[(1.20, 1.60)])


def test_extents_near_each_other_share_an_opening():
    repairs = [(0.35, 0.15), (0.65, 0.05), (1.5, 0.1)]
    assert len(fewest(repairs, 3.0, 0.3, 0.15)) == 2


def test_neighbours_merge_only_when_that_is_cheaper():
    repairs = points([0.5, 1.5])
    # Two cost 2 x 10 + 2 x 0.15 m x 30 = 29 minutes, one costs 10 + 0.8 m x 30 = 34; with 20 fixed 49 and 44.
    assert len(plan(repairs, 3.0, 10.0, 30.0, 0.1)) == 2
    assert len(plan(repairs, 3.0, 20.0, 30.0, 0.1)) == 1


def test_no_repair_needs_no_opening():
    assert plan([], 3.0, 15.0, 40.0, 0.35) == []


@pytest.mark.parametrize("repair", [(-0.1, 0.0), (3.2, 0.0), (1.0, -0.1), (2.9, 0.2)])
def test_a_repair_off_the_tube_is_refused(repair):
    with pytest.raises(ValueError, match="does not lie on the tube"):
        plan([repair], 3.0, 15.0, 40.0, 0.35)


def cheapest_by_trying_all(repairs, length_m, fixed, per_m, reach_m, least_m, forbidden):
    """The least minutes over every set of openings whose ends lie where an optimum's could."""
    extents = [(s - e, s + e) for s, e in repairs]
    edges = {0.0, length_m, *(x for f in forbidden for x in f)}
    starts = edges | {low + reach_m for low, _ in extents}
    ends = edges | {high - reach_m for _, high in extents}
    starts |= {end - least_m for end in ends}
    ends |= {start + least_m for start in starts}
    openings = [
        (a, b)
        for a, b in product(sorted(starts), sorted(ends))
        if a >= 0
        and b <= length_m
        and b - a >= least_m - 1e-9
        and all(b <= lo + 1e-9 or a >= hi - 1e-9 for lo, hi in forbidden)
    ]
    index = {i: [k for k, o in enumerate(openings) if serves(o, r, reach_m)] for i, r in enumerate(repairs)}
    cost = [fixed + per_m * (b - a) for a, b in openings]
    best = {frozenset(): 0.0}
    for repair in range(len(repairs)):
        following = {}
        for chosen, spent in best.items():
            if any(serves(openings[k], repairs[repair], reach_m) for k in chosen):
                following[chosen] = min(following.get(chosen, 1e9), spent)
                continue
            for k in index[repair]:
                key = chosen | {k}
                following[key] = min(following.get(key, 1e9), spent + cost[k])
        best = following
    return min(best.values(), default=None)


stretches = st.lists(
    st.tuples(st.integers(0, 30), st.integers(0, 4)).map(lambda t: (t[0] / 10, t[1] / 20)),
    min_size=1,
    max_size=4,
)


@settings(max_examples=80, deadline=None)
@given(
    repairs=stretches,
    fixed=st.integers(0, 40),
    per_m=st.integers(0, 60),
    reach=st.sampled_from([0.0, 0.1, 0.35]),
    fitting=st.one_of(st.none(), st.tuples(st.integers(0, 28), st.integers(1, 6))),
)
def test_no_other_set_of_openings_takes_less_bench_time(repairs, fixed, per_m, reach, fitting):
    length_m, least_m = 3.4, 0.15
    repairs = [(max(half, middle), half) for middle, half in repairs]
    forbidden = [] if fitting is None else [(fitting[0] / 10, (fitting[0] + fitting[1]) / 10)]
    tried = cheapest_by_trying_all(repairs, length_m, fixed, per_m, reach, least_m, forbidden)
    if tried is None:
        with pytest.raises(OutOfReach):
            plan(repairs, length_m, fixed, per_m, reach, least_m, forbidden)
        return
    openings = plan(repairs, length_m, fixed, per_m, reach, least_m, forbidden)
    assert sum(fixed + per_m * (end - start) for start, end in openings) == pytest.approx(tried, abs=1e-6)
    assert all(any(serves(opening, repair, reach) for opening in openings) for repair in repairs)
    assert all(end - start >= least_m - 1e-9 for start, end in openings)
    assert all(
        end <= low + 1e-9 or start >= high - 1e-9 for start, end in openings for low, high in forbidden
    )


@pytest.mark.parametrize(
    ("figures", "sentence"),
    [
        ({"least_m": 0.0}, "least opening must be longer than nothing"),
        ({"least_m": 4.0, "most_m": 5.0}, "fit on the tube"),
        ({"most_m": 0.1}, "longest opening cannot be shorter than the least"),
        ({"reach_m": -0.1}, "cannot be below nought"),
        ({"repairs": [(2.9, 0.3)]}, "The repair at 2.90 m does not lie on the tube"),
    ],
)
def test_figures_that_no_tube_has_are_refused_in_a_sentence(figures, sentence):
    asked = {
        "repairs": points([1.0]),
        "tube_length_m": 3.0,
        "fixed_minutes": 15.0,
        "minutes_per_m": 40.0,
        "reach_m": 0.1,
        "least_m": 0.3,
        "forbidden": (),
        "most_m": 1.0,
    }
    with pytest.raises(ValueError, match=sentence):
        plan(**(asked | figures))
