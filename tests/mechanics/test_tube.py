from math import cos, degrees, inf, pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from shoprepair.mechanics import tube
from tests.mechanics.references import bent_ring
from tests.mechanics.wild import unhurried

PSI = 6894.75729317


@pytest.mark.parametrize(
    ("pressure", "diameter", "hoop", "axial"),
    [
        (50000, 0.24, 6000.0, 3000.0),
        (50000, 0.12, 3000.0, 1500.0),
        (7 * PSI, 0.20, 4826.33011, 2413.16505),
        (68380.6177, 0.24, 8205.67413, 4102.83706),
    ],
)
def test_a_tube_at_rest_is_pulled_around_twice_as_hard_as_along(pressure, diameter, hoop, axial):
    """Thin-shell membrane theory (Timoshenko & Woinowsky-Krieger, from memory); derived by equilibrium."""
    assert tube.hoop_tension(pressure, diameter / 2) == pytest.approx(hoop, rel=1e-8)
    assert tube.axial_tension(pressure, diameter / 2) == pytest.approx(axial, rel=1e-8)


def arc_hoop(pressure, radius, bend_radius, angle):
    """Hoop tension of a tube bent to an arc, at an angle from the crown; derived by cap equilibrium."""
    rho = bend_radius + radius * sin(angle)
    return pressure * radius * (rho + bend_radius) / (2 * rho)


def test_bending_a_leading_edge_to_an_arc_changes_its_tension_by_too_little_to_count():
    """A torus of 1.5 m and 0.10 m at 0.5 bar; a kite's arc of 2.5 m is within 2.1 % on its inner side."""
    inner, crown, outer = (arc_hoop(50000, 0.10, 1.5, angle) for angle in (-pi / 2, 0, pi / 2))
    assert (inner, crown, outer) == pytest.approx((5178.57143, 5000, 4843.75))
    assert arc_hoop(50000, 0.10, 2.5, -pi / 2) == pytest.approx(5104.17, abs=0.01)
    assert arc_hoop(50000, 0.10, 2.5, -pi / 2) / tube.hoop_tension(50000, 0.10) < 1.021


def test_the_taper_of_a_leading_edge_changes_its_tension_by_too_little_to_count():
    """0.12 to 0.06 m over 1.75 m: 1 / cos of the half angle."""
    assert 1 / cos(np.arctan(0.06 / 1.75)) == pytest.approx(1.000588, abs=1e-6)


@pytest.mark.parametrize(
    ("pressure", "diameter", "thrust", "wrinkles", "collapses"),
    [
        (50000, 0.24, 0, 135.716803, 271.433605),
        (50000, 0.20, 0, 78.5398163, 157.079633),
        (50000, 0.20, 300, 63.5398163, 127.079633),
        (50000, 0.12, 0, 16.9646003, 33.9292007),
        (60000, 0.16, 0, 48.2548632, 96.5097263),
        (69000, 0.16, 0, 55.4931, 110.9862),
    ],
)
def test_a_tube_wrinkles_at_half_the_moment_at_which_it_collapses(
    pressure, diameter, thrust, wrinkles, collapses
):
    """Collapse: Leonard, Brooks & McComb 1960, NASA TN D-457 (from memory). Wrinkling: Main et al. 1994.

    Published: 160 mm at 69 kPa wrinkles at 55 490 N mm (Davids & Zhang 2008, read as a summary).
    """
    assert tube.wrinkling_moment(pressure, diameter / 2, thrust) == pytest.approx(wrinkles, rel=1e-6)
    assert tube.collapse_moment(pressure, diameter / 2, thrust) == pytest.approx(collapses, rel=1e-6)


@pytest.mark.parametrize(
    ("angle", "moment", "tension"),
    [
        (0, 1.570796327, 1.0),
        (30, 1.731867849, 1.059227280),
        (60, 2.075055019, 1.231531581),
        (90, 2.467401100, 1.570796327),
        (120, 2.817419049, 2.293624674),
        (150, 3.056751579, 4.520861119),
    ],
)
def test_the_slack_side_and_the_taut_side_follow_the_moment(angle, moment, tension):
    """Comer & Levy 1963, AIAA J. 1(7) 1652 (relation from memory, checked by quadrature below)."""
    assert degrees(tube.wrinkle_angle(moment, 1, 1)) == pytest.approx(angle, abs=1e-3)
    assert tube.taut_tension(moment, 1, 1) == pytest.approx(tension, rel=1e-7)


@pytest.mark.parametrize(
    ("share", "angle", "tension", "curvature"),
    [
        (0.50, 0, 1.00000000, 0.50000000),
        (0.60, 44.521828, 1.12722319, 0.65804678),
        (0.70, 69.521555, 1.31584275, 0.97480305),
        (0.75, 81.437246, 1.44955660, 1.26169902),
        (0.80, 93.606547, 1.62980157, 1.73920554),
        (0.90, 120.993845, 2.33071358, 4.80505995),
        (0.95, 138.907620, 3.31422406, 13.4533589),
    ],
)
def test_bending_beyond_wrinkling_by_share_of_the_collapse_moment(share, angle, tension, curvature):
    """Comer & Levy 1963; derived and verified by solving a ring of cloth that cannot push."""
    taut, slack = tube.taut_tension(share * pi, 1, 1), tube.wrinkle_angle(share * pi, 1, 1)
    assert degrees(slack) == pytest.approx(angle, abs=1e-5)
    assert taut == pytest.approx(tension, rel=1e-7)
    assert taut / (1 + cos(slack)) == pytest.approx(curvature, rel=1e-7)


@pytest.mark.parametrize("share", [0.55, 0.7, 0.85, 0.94])
def test_the_taut_side_agrees_with_a_ring_of_cloth_that_cannot_push(share):
    pressure, radius = 50000, 0.12
    moment = share * tube.collapse_moment(pressure, radius)
    tension, slack = bent_ring(moment, pressure, radius)
    assert tube.taut_tension(moment, pressure, radius) == pytest.approx(tension, rel=1e-5)
    assert tube.wrinkle_angle(moment, pressure, radius) == pytest.approx(slack, abs=1e-3)


@pytest.mark.parametrize("share", [0.6, 0.8, 0.95, 0.999, 0.999999])
def test_the_tensions_around_the_rim_carry_the_end_force_and_the_moment(share):
    """By quadrature of the tension over the taut part of the section."""
    moment, slack = share * pi, tube.wrinkle_angle(share * pi, 1, 1)
    highest = tube.taut_tension(moment, 1, 1)

    def tension(phi):
        return highest * (cos(slack) - cos(phi)) / (1 + cos(slack))

    force = 2 * quad(tension, slack, pi)[0]
    bending = -2 * quad(lambda phi: tension(phi) * cos(phi), slack, pi)[0]
    assert force == pytest.approx(pi, rel=1e-4)
    assert bending == pytest.approx(moment, rel=1e-4)


def test_the_closed_form_and_the_series_meet_without_a_step():
    around = [1 - 4e-5 * factor for factor in (0.98, 0.99, 1.01, 1.02)]
    tensions = [tube.taut_tension(share * pi, 1, 1) for share in around]
    assert np.diff(np.log(tensions)) == pytest.approx(
        -0.5 * np.diff(np.log([1 - s for s in around])), rel=1e-3
    )


def test_at_the_wrinkling_moment_the_taut_side_is_pulled_as_hard_as_the_hoop():
    moment = tube.wrinkling_moment(50000, 0.12)
    assert tube.taut_tension(moment, 50000, 0.12) == pytest.approx(tube.hoop_tension(50000, 0.12))
    assert tube.wrinkle_angle(moment, 50000, 0.12) == 0


@unhurried
@given(st.floats(0, 0.99), st.floats(0, 0.99), st.floats(1000, 200000), st.floats(0.02, 0.3))
def test_more_bending_never_eases_the_taut_side(one, other, pressure, radius):
    less, more = sorted((one, other))
    collapse = tube.collapse_moment(pressure, radius)
    eased = tube.taut_tension(less * collapse, pressure, radius)
    assert eased <= tube.taut_tension(more * collapse, pressure, radius) * (1 + 1e-9)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: tube.hoop_tension(-1, 0.1),
        lambda: tube.hoop_tension(50000, 0),
        lambda: tube.hoop_tension(50000, float("nan")),
        lambda: tube.axial_tension(inf, 0.1),
        lambda: tube.wrinkling_moment(50000, 0.1, thrust_n=2000),
        lambda: tube.taut_tension(158, 50000, 0.1),
        lambda: tube.wrinkle_angle(float("nan"), 50000, 0.1),
    ],
)
def test_what_no_tube_can_be_is_refused_in_a_sentence(ask):
    with pytest.raises(ValueError, match=r"^[A-Z].*\.$"):
        ask()


def test_a_tube_without_pressure_stands_only_unbent():
    assert tube.taut_tension(0, 0, 0.1) == 0
    with pytest.raises(ValueError, match="folds"):
        tube.taut_tension(1, 0, 0.1)
