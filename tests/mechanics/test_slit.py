from math import inf, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.mechanics import slit
from shoprepair.mechanics.tube import taut_tension
from tests.mechanics.references import hedgepeth_by_influence
from tests.mechanics.wild import unhurried

YARNS = 2400.0
FLAW = 0.003


@pytest.mark.parametrize(
    ("broken", "factor"),
    [
        (0, 1),
        (1, 4 / 3),
        (2, 8 / 5),
        (3, 64 / 35),
        (4, 128 / 63),
        (5, 512 / 231),
        (6, 1024 / 429),
        (10, 2.97286202),
        (50, 6.34445701),
        (100, 8.91750001),
    ],
)
def test_the_next_yarn_carries_more_with_every_broken_one(broken, factor):
    """Hedgepeth 1961, NASA TN D-882 (product formula from memory, derived again below)."""
    assert slit.yarn_stress_factor(broken) == pytest.approx(factor, rel=1e-8)


@pytest.mark.parametrize("broken", [1, 2, 5, 20, 60])
def test_the_factor_agrees_with_influence_coefficients(broken):
    assert slit.yarn_stress_factor(broken) == pytest.approx(hedgepeth_by_influence(broken), rel=1e-9)


def test_the_factor_goes_on_smoothly_where_the_long_form_takes_over():
    factors = np.array([slit.yarn_stress_factor(n) for n in range(990, 1012)])
    product = factors[0] * np.cumprod([1, *((2 * k + 2) / (2 * k + 1) for k in range(991, 1012))])
    assert factors == pytest.approx(product, rel=1e-11)
    assert slit.yarn_stress_factor(10**12) == pytest.approx(sqrt(pi) / 2 * 1e6)


def test_a_cut_of_31_75_mm_leaves_44_52_percent():
    """Chen et al. 2019, J. Eng. Fibers Fabrics 14 (abstract): gives a flaw length of 7.84855373 mm."""
    factor = 1 / 0.4452
    flaw = 0.03175 / (factor**2 - 1)
    assert factor == pytest.approx(2.24618149)
    assert flaw == pytest.approx(0.00784855373)
    assert slit.flaw_stress_factor(0.03175, flaw) == pytest.approx(factor)


@pytest.mark.parametrize(("yarns_per_cm", "times"), [(5, 1.64), (10, 2.28), (20, 3.19)])
def test_how_cautious_the_cautious_bound_is_against_that_test(yarns_per_cm, times):
    broken = slit.yarns_over(0.03175, yarns_per_cm * 100)
    assert slit.yarn_stress_factor(broken) * 0.4452 == pytest.approx(times, abs=0.02)


def test_the_cautious_bound_is_the_hopeful_one_with_a_flaw_of_half_a_millimetre():
    flaw = 4 / (pi * YARNS)
    assert flaw == pytest.approx(0.00053, abs=1e-6)
    assert slit.flaw_stress_factor(0.1, flaw) == pytest.approx(slit.yarn_stress_factor(240), rel=0.01)


@pytest.mark.parametrize(
    ("mm", "degrees", "moment", "yarns", "cautious", "u_high", "u_low"),
    [
        (3, 0, 0, (8, 0), 2.695845, 0.462145, 0.242437),
        (10, 0, 0, (24, 0), 4.453344, 0.763430, 0.356857),
        (30, 0, 0, (72, 0), 7.584903, 2.280910, 0.568564),
        (30, 90, 0, (0, 72), 7.584903, 0.650135, 0.284282),
        (30, 90, 111, (0, 72), 7.584903, 1.181866, 0.516791),
        (100, 0, 0, (240, 0), 13.765079, 13.046964, 1.004480),
    ],
)
def test_cuts_in_a_tube_of_240_mm_at_half_a_bar(mm, degrees, moment, yarns, cautious, u_high, u_low):
    """Strength 35 kN/m, 24 yarns/cm, flaw 3 mm, cloth 0.2 mm thick; the screening model's check table."""
    length, angle = mm / 1000, np.radians(degrees)
    cut = slit.broken_yarns(length, angle, YARNS, YARNS)
    assert cut == yarns
    factor, hopeful = slit.yarn_stress_factor(max(cut)), slit.flaw_stress_factor(length, FLAW)
    assert factor == pytest.approx(cautious, rel=1e-6)
    along_the_tube = degrees == 0
    tension = 6000.0 if along_the_tube else taut_tension(moment, 50000, 0.12)
    bulge = slit.bulging_factor(length, 0.12, 0.0002) if along_the_tube else 1.0
    assert tension * hopeful / 35000 == pytest.approx(u_low, rel=1e-5)
    assert tension * max(factor, hopeful * bulge) / 35000 == pytest.approx(u_high, rel=1e-5)


def test_the_length_at_which_a_cut_runs():
    """The screening model: 17.50 mm, 42 yarns, at 6 kN/m; 25.42 mm at 5 kN/m."""
    assert slit.run_length(6000, 35000, YARNS) == pytest.approx(0.0175)
    assert slit.run_length(5000, 35000, YARNS) == pytest.approx(0.02542, abs=1e-5)
    assert slit.run_length(1.5 * 6000, 35000, YARNS) == pytest.approx(0.0075)


def test_the_hopeful_length_at_which_a_cut_runs():
    """99.1 mm at 6 kN/m, 144 mm at 5 kN/m with a flaw of 3 mm."""
    assert 6000 * slit.flaw_stress_factor(0.0991, FLAW) == pytest.approx(35000, rel=1e-3)
    assert 5000 * slit.flaw_stress_factor(0.144, FLAW) == pytest.approx(35000, rel=1e-3)


@unhurried
@given(st.floats(1, 30000), st.floats(1000, 60000), st.floats(100, 10000))
def test_one_yarn_more_than_the_run_length_runs(tension, strength, yarns_per_m):
    yarns = round(slit.run_length(tension, strength, yarns_per_m) * yarns_per_m)
    if strength / tension < 1000:
        assert tension * slit.yarn_stress_factor(yarns + 1) > strength
        assert yarns == 0 or tension * slit.yarn_stress_factor(yarns) <= strength * (1 + 1e-12)


def test_nothing_runs_where_nothing_pulls_and_all_runs_where_too_much_does():
    assert slit.run_length(0, 35000, YARNS) == inf
    assert slit.run_length(30000, 35000, YARNS) == 0


def test_with_a_thousandfold_to_spare_the_run_length_is_said_for_a_thousand():
    assert slit.run_length(1e-9, 35000, YARNS) == slit.run_length(35, 35000, YARNS) > 100


@unhurried
@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, pi))
def test_a_longer_cut_never_severs_fewer_yarns(one, other, angle):
    shorter, longer = sorted((one, other))
    fewer = slit.broken_yarns(shorter, angle, 2400, 1800)
    more = slit.broken_yarns(longer, angle, 2400, 1800)
    assert fewer[0] <= more[0]
    assert fewer[1] <= more[1]


@pytest.mark.parametrize(
    "ask",
    [
        lambda: slit.yarn_stress_factor(-1),
        lambda: slit.flaw_stress_factor(-0.01, FLAW),
        lambda: slit.flaw_stress_factor(0.01, 0),
        lambda: slit.bulging_factor(0.01, 0, 0.0002),
        lambda: slit.broken_yarns(float("nan"), 0, 2400, 2400),
        lambda: slit.run_length(-1, 35000, 2400),
        lambda: slit.run_length(6000, 0, 2400),
        lambda: slit.run_length(6000, 35000, 0),
    ],
)
def test_what_no_cut_can_be_is_refused_in_a_sentence(ask):
    with pytest.raises(ValueError, match=r"^[A-Z].*\.$"):
        ask()
