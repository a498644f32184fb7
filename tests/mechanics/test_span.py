from itertools import pairwise
from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.mechanics import span
from tests.mechanics.references import (
    beam_by_finite_elements,
    elliptical_load,
    elliptical_moment_by_quadrature,
)
from tests.mechanics.wild import unhurried

KITE_BRIDLE = (-2.6, -1.6, -0.6, 0.6, 1.6, 2.6)


def fine(supports, left, right, pieces=40):
    """Nodes that hit every support, close together toward the tips where the ellipse is steep."""
    marks = sorted({left, *supports, right})
    inner = [np.linspace(a, b, pieces, endpoint=False) for a, b in pairwise(marks)]
    return np.concatenate([*inner, [right]])


@pytest.mark.parametrize(
    ("station", "elliptical", "uniform"),
    [(0, 1, 1), (0.25, 0.50420999, 0.5625), (0.50, 0.18888042, 0.25), (0.75, 0.03439119, 0.0625), (1, 0, 0)],
)
def test_bending_falls_from_the_centre_to_nothing_at_the_tip(station, elliptical, uniform):
    """Lifting-line theory (from memory); derived by quadrature."""
    root = span.elliptical_moment(0, 500, 1.75), span.uniform_moment(0, 500, 1.75)
    assert root == pytest.approx((185.680767, 218.75))
    assert span.elliptical_moment(station, 500, 1.75) / root[0] == pytest.approx(elliptical, abs=1e-8)
    assert span.uniform_moment(station, 500, 1.75) / root[1] == pytest.approx(uniform, abs=1e-8)


def test_an_elliptical_lift_bends_the_centre_by_two_thirds_of_pi_of_lift_and_half_span():
    assert span.elliptical_moment(0, 1, 1) == pytest.approx(2 / (3 * pi))
    assert span.elliptical_moment(0, 1, 1) / span.uniform_moment(0, 1, 1) == pytest.approx(0.848826363)


@pytest.mark.parametrize("station", [0, 0.1, 0.35, 0.6, 0.9, 0.99])
def test_the_elliptical_moment_agrees_with_quadrature(station):
    expected = elliptical_moment_by_quadrature(station, 441, 1.75)
    assert span.elliptical_moment(station, 441, 1.75) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("spans", "moments", "reactions"),
    [
        (2, [1 / 8], [3 / 8, 10 / 8]),
        (3, [1 / 10, 1 / 10], [4 / 10, 11 / 10]),
        (4, [3 / 28, 2 / 28, 3 / 28], [11 / 28, 32 / 28, 26 / 28]),
        (5, [4 / 38, 3 / 38, 3 / 38, 4 / 38], [15 / 38, 43 / 38, 37 / 38]),
        (6, [11 / 104, 8 / 104, 9 / 104, 8 / 104, 11 / 104], [41 / 104, 118 / 104, 100 / 104, 106 / 104]),
    ],
)
def test_equal_spans_agree_with_the_published_table(spans, moments, reactions):
    """T. G. Hicks, Civil Engineering Formulas (McGraw-Hill), Table 2.1."""
    over, pulls = span.continuous_beam([1] * spans, [1] * spans)
    assert over[1:-1] == pytest.approx([-m for m in moments])
    assert pulls[: len(reactions)] == pytest.approx(reactions)
    assert pulls == pytest.approx(pulls[::-1])


@pytest.mark.parametrize(
    ("spans", "highest"),
    [
        (2, [0.070312]),
        (3, [0.080000, 0.025000]),
        (4, [0.077168, 0.036352]),
        (5, [0.077909, 0.033241, 0.046053]),
        (6, [0.077709, 0.034070, 0.043315]),
    ],
)
def test_the_highest_moments_between_supports_agree_with_the_published_table(spans, highest):
    """T. G. Hicks, Civil Engineering Formulas, Table 2.1: .0703, .080/.025, .0772/.0364 and on."""
    over, _ = span.continuous_beam([1] * spans, [1] * spans)
    for left, right, expected in zip(over, over[1:], highest, strict=False):
        shear = 0.5 + right - left
        assert left + shear**2 / 2 == pytest.approx(expected, abs=1e-6)


def test_two_unequal_spans():
    """Three-moment equation: M = -w (a³ + b³) / (8 (a + b))."""
    over, pulls = span.continuous_beam([1.0, 1.5], [100, 100])
    assert over == pytest.approx((0, -21.875, 0))
    assert pulls == pytest.approx((28.125, 161.458333, 60.4166667))


def test_a_beam_of_one_span_hangs_on_its_ends():
    assert span.continuous_beam([2], [3]) == ((0.0, 0.0), (3.0, 3.0))


@pytest.mark.parametrize("loads", [(100, 100, 100), (80, 0, 250)])
def test_uneven_spans_agree_with_finite_elements(loads):
    spans, ends = (0.7, 1.9, 1.2), np.cumsum((0, 0.7, 1.9, 1.2))

    def load(x):
        return loads[min(int(np.searchsorted(ends, x, side="right")) - 1, 2)]

    moments, reactions = beam_by_finite_elements(fine(ends, 0, ends[-1], 8), ends, load)
    over, pulls = span.continuous_beam(spans, loads)
    assert over == pytest.approx(moments, abs=1e-6)
    assert pulls == pytest.approx(reactions, abs=1e-6)


def test_a_bridled_leading_edge_under_elliptical_lift():
    """2250 N over 6 m, bridle points at 0.6, 1.6 and 2.6 m; derived, and by finite elements."""
    over = [span.bridled_moment(y, KITE_BRIDLE, 2250, 3) for y in (0.6, 1.6, 2.6)]
    assert over == pytest.approx([-50.515429, -33.715033, -10.368262], rel=1e-7)
    pulls = span.bridle_pulls(KITE_BRIDLE, 2250, 3)
    assert pulls[3:] == pytest.approx([527.365217, 402.734476, 194.900308], rel=1e-8)
    assert sum(pulls) == pytest.approx(2250)


@pytest.mark.parametrize(
    "supports", [KITE_BRIDLE, (-2.6, -1.6, -0.6, 1.6, 2.6), (-2.9, -0.2, 1.1), (-1.5, 1.5), (-2.0, 0.0, 2.0)]
)
def test_any_bridle_agrees_with_finite_elements(supports):
    nodes = fine(supports, -3, 3)
    moments, reactions = beam_by_finite_elements(nodes, supports, elliptical_load(2250, 3))
    over = [span.bridled_moment(y, supports, 2250, 3) for y in supports]
    assert over == pytest.approx(moments, abs=0.02)
    assert span.bridle_pulls(supports, 2250, 3) == pytest.approx(reactions, abs=0.02)


def test_a_tube_tapering_to_half_moves_the_moments_over_the_bridle_by_eight_percent_at_most():
    """Stiffness with the cube of the radius, 0.10 to 0.05 m: -48.21 and -36.39 by finite elements."""
    nodes = fine(KITE_BRIDLE, -3, 3)
    moments, _ = beam_by_finite_elements(
        nodes, KITE_BRIDLE, elliptical_load(2250, 3), lambda y: (0.10 - 0.05 * abs(y) / 3) ** 3
    )
    assert moments[3:5] == pytest.approx([-48.21, -36.39], abs=0.03)
    even = [span.bridled_moment(y, KITE_BRIDLE, 2250, 3) for y in (0.6, 1.6)]
    assert even == pytest.approx(moments[3:5], rel=0.08)


def test_the_same_lift_on_even_spread_as_in_the_worked_example():
    """3000 N peak, 0.75 in the leading edge, spread evenly; overhangs of 0.4 m enter as end moments."""
    load, hang = 375.0, 0.4
    end = -load * hang**2 / 2
    over, pulls = span.continuous_beam([1, 1, 1.2, 1, 1], [load] * 5, end_moments_nm=(end, end))
    assert over[3:] == pytest.approx((-40.4439, -29.264, -30.0), abs=1e-4)
    assert over[3] + load * 1.2**2 / 8 == pytest.approx(27.0561, abs=1e-4)
    assert (pulls[3], pulls[4], pulls[5] + load * hang) == pytest.approx((423.68, 363.08, 338.24), abs=0.01)


def test_losing_one_inner_bridle_point_triples_the_moment():
    """The same even lift with the point at 0.6 m gone: 127.474 N m, and 722 / 690 N on its neighbours."""
    load, end = 375.0, -30.0
    over, pulls = span.continuous_beam([1, 1, 2.2, 1], [load] * 4, end_moments_nm=(end, end))
    assert max(abs(m) for m in over) == pytest.approx(127.474, abs=0.001)
    assert sorted(pulls)[-2:] == pytest.approx([690, 722], abs=0.5)


@unhurried
@given(
    st.sets(st.integers(2, 98), min_size=1, max_size=5),
    st.floats(-1, 1),
    st.floats(10, 5000),
    st.floats(1, 6),
)
def test_a_mirrored_bridle_bends_both_halves_alike(hundredths, eta, lift, half_span):
    right = [h / 100 * half_span for h in hundredths]
    supports = [*(-at for at in right), *right]
    here, there = (span.bridled_moment(side * eta * half_span, supports, lift, half_span) for side in (1, -1))
    assert here == pytest.approx(there, abs=1e-6 * lift * half_span)


@unhurried
@given(st.sets(st.integers(2, 100), min_size=2, max_size=5), st.floats(1, 6))
def test_the_bridle_carries_all_the_lift(hundredths, half_span):
    right = [h / 100 * half_span for h in hundredths]
    assert sum(span.bridle_pulls([*(-at for at in right), *right], 1000, half_span)) == pytest.approx(1000)


def test_the_order_of_the_bridle_points_does_not_matter():
    shuffled = (0.6, -2.6, 2.6, -0.6, 1.6, -1.6)
    assert span.bridled_moment(0.3, shuffled, 2250, 3) == pytest.approx(
        span.bridled_moment(0.3, KITE_BRIDLE, 2250, 3)
    )
    by_place = dict(zip(KITE_BRIDLE, span.bridle_pulls(KITE_BRIDLE, 1, 3), strict=True))
    assert span.bridle_pulls(shuffled, 1, 3) == pytest.approx([by_place[at] for at in shuffled])


def test_held_at_the_centre_the_same_lift_bends_some_28_times_as_hard():
    """The worked example: 1432.39 N m on one support against 50.52 over the bridle."""
    held = span.elliptical_moment(0, 2250, 3)
    assert held == pytest.approx(1432.39, abs=0.01)
    assert held / abs(span.bridled_moment(0.6, KITE_BRIDLE, 2250, 3)) == pytest.approx(28.4, abs=0.1)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: span.elliptical_moment(1.01, 1, 1),
        lambda: span.uniform_moment(-0.1, 1, 1),
        lambda: span.elliptical_moment(0, -1, 1),
        lambda: span.elliptical_moment(0, 1, 0),
        lambda: span.continuous_beam([], []),
        lambda: span.continuous_beam([1], [1, 2]),
        lambda: span.continuous_beam([1, 0], [1, 2]),
        lambda: span.bridled_moment(0, (1,), 1, 3),
        lambda: span.bridled_moment(0, (1, 2), 1, 3),
        lambda: span.bridled_moment(0, (-1, 1, 1), 1, 3),
        lambda: span.bridled_moment(0, (-1, 4), 1, 3),
        lambda: span.bridled_moment(3.5, (-1, 1), 1, 3),
        lambda: span.bridle_pulls((-1, 1), -1, 3),
    ],
)
def test_what_no_span_can_be_is_refused_in_a_sentence(ask):
    with pytest.raises(ValueError, match=r"^[A-Z].*\.$"):
        ask()


def test_shear_at_the_quarters_of_an_elliptical_span():
    """V/(L/2): 0.68503764, 0.39100222, 0.14429361; here as the slope of the moment."""
    for station, expected in [(0.25, 0.68503764), (0.5, 0.39100222), (0.75, 0.14429361)]:
        step = 1e-5
        ahead, behind = (span.elliptical_moment(station + d, 2, 1) for d in (step, -step))
        assert (behind - ahead) / (2 * step) == pytest.approx(expected, abs=1e-6)
