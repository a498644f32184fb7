import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.mechanics import seam
from tests.mechanics.references import lap_by_boundary_value
from tests.mechanics.wild import unhurried

LBF, LBF_PER_IN, IN = 4.44822161526, 175.126835246, 0.0254
SOFT = {
    "shear_modulus_pa": 0.5e6,
    "adhesive_m": 0.1e-3,
    "stiffness_a_n_per_m": 645e3,
    "stiffness_b_n_per_m": 645e3,
}


@pytest.mark.parametrize(
    ("per_inch", "thread_lbf", "factor", "lbf_per_in"),
    [
        (10, 4, 1.5, 60),
        (10, 4, 1.7, 68),
        (5, 35, 1.7, 297.5),
        (6, 2.6, 1.5, 23.4),
        (8, 2.6, 1.5, 31.2),
        (10, 2.6, 1.5, 39.0),
        (12, 2.6, 1.5, 46.8),
    ],
)
def test_the_published_seam_estimates(per_inch, thread_lbf, factor, lbf_per_in):
    """Stitches × thread × 1.5 (lockstitch) or 1.7 (chainstitch), as three texts of the trade print it."""
    strength = seam.stitched_strength(per_inch / IN, thread_lbf * LBF, factor=factor)
    assert strength / LBF_PER_IN == pytest.approx(lbf_per_in)


@pytest.mark.parametrize(
    ("stitches", "thread_n", "rows", "factor", "n_per_m", "efficiency"),
    [
        (10 / IN, 4 * LBF, 1, 1.5, 10507.6101, 0.300217),
        (8 / IN, 11 * LBF, 1, 1.5, 23116.7423, 0.660478),
        (8 / IN, 11 * LBF, 1, 1.24, 19109.8403, 0.545995),
        (1 / 0.003, 62, 2, 1.5, 62000, 1.771),
        (1 / 0.003, 20.8 * LBF, 1, 1.5, 46261.5048, 1.322),
    ],
)
def test_seams_against_a_cloth_of_35_kilonewton(stitches, thread_n, rows, factor, n_per_m, efficiency):
    """Tex 70 11 lbf and Tex 135 20.8 lbf as makers print them; 62 N for Tex 90 is assumed.

    The 1.24 follows from a loop strength of 60–65 % (a thread maker's note, 2017).
    """
    strength = seam.stitched_strength(stitches, thread_n, rows, factor)
    assert strength == pytest.approx(n_per_m, rel=1e-6)
    assert strength / 35000 == pytest.approx(efficiency, abs=1e-3)


@pytest.mark.parametrize(
    ("overlap_mm", "peak", "capacity"),
    [
        (5, 1.0320930, 2422.262),
        (10, 1.1259791, 4440.580),
        (20, 1.4702101, 6801.749),
        (30, 1.9590353, 7656.830),
        (50, 3.1252022, 7999.482),
        (100, 6.2257768, 8031.126),
    ],
)
def test_a_glued_lap_gains_ever_less_from_a_longer_overlap(overlap_mm, peak, capacity):
    """Volkersen 1938; the closed form derived, and checked by the boundary-value problem below."""
    overlap = overlap_mm / 1000
    stresses = seam.bond_stresses(6000, overlap, **SOFT)
    assert max(stresses) / (6000 / overlap) == pytest.approx(peak, rel=1e-6)
    assert seam.bond_strength(overlap, 0.5e6, **SOFT) == pytest.approx(capacity, abs=0.001)


def test_a_lap_has_a_limit_that_no_overlap_passes():
    assert seam.bond_strength(5, 0.5e6, **SOFT) == pytest.approx(8031.189, abs=0.001)


def test_a_stiffer_cloth_loads_the_end_of_the_softer_one():
    """645 and 300 kN/m, G = 5 MPa, 20 mm, 6 kN/m: 0.941448 and 2.023766 MPa."""
    stresses = seam.bond_stresses(6000, 0.020, 5e6, 0.1e-3, 645e3, 300e3)
    assert stresses == pytest.approx((0.941448e6, 2.023766e6), rel=1e-6)


@pytest.mark.parametrize("stiff_b", [645e3, 300e3])
def test_the_lap_agrees_with_the_equilibrium_of_its_two_cloths(stiff_b):
    expected = lap_by_boundary_value(6000, 0.020, 5e6, 0.1e-3, 645e3, stiff_b)
    assert seam.bond_stresses(6000, 0.020, 5e6, 0.1e-3, 645e3, stiff_b) == pytest.approx(expected, rel=1e-3)


def test_the_average_lap_of_the_textbook():
    """6000 N/m, 0.5 MPa, twofold: 24 mm, if the stress were even; it is not."""
    even = 2 * 6000 / 0.5e6
    assert even == pytest.approx(0.024)
    assert seam.bond_strength(even, 0.5e6, **SOFT) < 2 * 6000


@unhurried
@given(st.floats(1e-3, 1), st.floats(1e-3, 1))
def test_a_longer_overlap_never_holds_less(one, other):
    shorter, longer = sorted((one, other))
    held = seam.bond_strength(shorter, 0.5e6, **SOFT)
    assert held <= seam.bond_strength(longer, 0.5e6, **SOFT) * (1 + 1e-12)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: seam.stitched_strength(-1, 62),
        lambda: seam.stitched_strength(333, -62),
        lambda: seam.stitched_strength(333, 62, rows=-1),
        lambda: seam.stitched_strength(333, 62, factor=0),
        lambda: seam.bond_strength(0, 0.5e6, **SOFT),
        lambda: seam.bond_strength(0.02, 0, **SOFT),
        lambda: seam.bond_stresses(-1, 0.02, **SOFT),
        lambda: seam.bond_stresses(1, 0.02, **{**SOFT, "adhesive_m": 0}),
    ],
)
def test_what_no_seam_can_be_is_refused_in_a_sentence(ask):
    with pytest.raises(ValueError, match=r"^[A-Z].*\.$"):
        ask()
