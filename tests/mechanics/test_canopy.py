from math import asin, pi

import pytest

from shoprepair.mechanics.canopy import membrane_tension


def test_cloth_bellied_to_a_half_circle_is_pulled_like_a_tube_of_that_radius():
    assert membrane_tension(100, chord_m=2.0, camber_m=1.0) == pytest.approx(100 * 1.0)


def test_the_radius_is_that_of_the_arc_through_both_edges():
    chord, camber = 1.5, 0.12
    radius = membrane_tension(1, chord, camber)
    half_angle = asin(chord / 2 / radius)
    assert radius * (1 - (1 - (chord / 2 / radius) ** 2) ** 0.5) == pytest.approx(camber)
    assert half_angle < pi / 2


def test_the_canopies_of_the_worked_example():
    """Camber radius 1.5 m (assumed): 132.3 N/m at 12 m/s, 367.5 at 20 m/s; strength over it 60 and 21.

    Canopies die by flogging, sun and knocks, not by this.
    """
    chord = 2 * (1.5**2 - 1.4**2) ** 0.5
    tensions = [membrane_tension(0.5 * 1.225 * v**2, chord, 0.1) for v in (12, 20)]
    assert tensions == pytest.approx([132.3, 367.5])
    assert 8000 / tensions[0] == pytest.approx(60, abs=1)
    assert 8000 / tensions[1] == pytest.approx(21, abs=1)


@pytest.mark.parametrize(("pressure", "chord", "camber"), [(-1, 1, 0.1), (1, 0, 0.1), (1, 1, 0)])
def test_what_no_canopy_can_be_is_refused_in_a_sentence(pressure, chord, camber):
    with pytest.raises(ValueError, match=r"^[A-Z].*\.$"):
        membrane_tension(pressure, chord, camber)
