import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.pricing.layup import (
    TEX_70,
    TEX_90,
    TEX_135,
    bonded_capacity,
    casing_layup,
    overlap,
    patch_strength,
    required_strength,
    rows_seated,
)

CLOTH = 35_000.0

loads = st.floats(0, 40_000)
cloths = st.floats(8_000, 60_000)
plies = st.integers(1, 2)
threads = st.sampled_from([TEX_70, TEX_90, TEX_135])
extents = st.tuples(st.floats(0, 0.4), st.floats(0, 0.4))


def test_a_small_cut_at_the_centre_of_a_wing_gets_two_plies_and_two_rows():
    """Hoop 6000 N/m at 0.24 m and 0.5 bar; R = max(3 x 6000, 0.66 x 35000) = 23 100 N/m."""
    layup = casing_layup(tension_n_per_m=6000, cloth_n_per_m=CLOTH, extent_m=(0.035, 0.0))
    assert (layup.plies_inside, layup.plies_outside, layup.rows) == (1, 1, 2)
    assert layup.required_n_per_m == pytest.approx(23_100)
    assert layup.outline_m == (0.095, 0.060)


def test_a_casing_patch_goes_inside_and_outside_and_is_stitched_twice():
    """common practice, no source"""
    layup = casing_layup(tension_n_per_m=500, cloth_n_per_m=CLOTH, extent_m=(0.01, 0.01))
    assert layup.plies_inside >= 1
    assert layup.plies_outside >= 1
    assert layup.rows >= 2


def test_where_the_casing_is_doubled_the_patch_has_three_plies():
    """common practice, no source"""
    layup = casing_layup(tension_n_per_m=6000, cloth_n_per_m=CLOTH, extent_m=(0.02, 0.0), existing_plies=2)
    assert layup.plies == 3


def test_one_row_of_tex_90_at_three_millimetres_holds_what_its_loops_hold():
    """333.3 stitches/m x 62 N x 1.24: the loop-strength estimate for lockstitch 301."""
    assert patch_strength(cloth_n_per_m=1e6, plies=2, rows=1) == pytest.approx(25_626.67, abs=0.01)


def test_overlap_seats_its_rows_and_is_never_under_thirty_millimetres():
    assert overlap(2) == pytest.approx(0.030)
    assert overlap(4) == pytest.approx(0.015 + 3 * 0.006 + 0.005)


@given(loads, cloths, extents, plies, threads)
def test_every_patch_carries_what_is_asked_of_it(load, cloth, extent, existing, thread):
    layup = casing_layup(
        tension_n_per_m=load, cloth_n_per_m=cloth, extent_m=extent, existing_plies=existing, thread=thread
    )
    sewn_plies = 0.85 * cloth * (layup.plies_inside + layup.plies_outside)
    loops = layup.rows * (1 / layup.pitch_m) * thread.strength_n * 1.24
    demand = max(3 * load, 0.66 * cloth * existing)
    assert min(sewn_plies, loops) >= demand * (1 - 1e-12)
    assert layup.strength_n_per_m == pytest.approx(min(sewn_plies, loops))
    assert layup.shortfall == 0


@given(loads, st.floats(0, 20_000), cloths, extents, plies)
def test_more_load_never_gives_a_weaker_patch(load, more, cloth, extent, existing):
    less = casing_layup(tension_n_per_m=load, cloth_n_per_m=cloth, extent_m=extent, existing_plies=existing)
    greater = casing_layup(
        tension_n_per_m=load + more, cloth_n_per_m=cloth, extent_m=extent, existing_plies=existing
    )
    assert greater.strength_n_per_m >= less.strength_n_per_m
    assert greater.plies >= less.plies
    assert greater.rows >= less.rows


@given(loads, cloths, extents)
def test_the_outline_covers_the_damage_and_its_overlap_to_five_millimetres(load, cloth, extent):
    layup = casing_layup(tension_n_per_m=load, cloth_n_per_m=cloth, extent_m=extent)
    for side, damage in zip(layup.outline_m, extent, strict=True):
        assert side >= damage + 2 * layup.overlap_m - 1e-6
        assert side - (damage + 2 * layup.overlap_m) < 0.005 + 1e-6
        assert math.isclose(side / 0.005, round(side / 0.005), abs_tol=1e-6)


def test_adhesive_tape_alone_will_not_hold_the_centre_of_a_wing():
    """A 50 mm lap of soft adhesive on both faces: a fifth of twice 7999 N/m stays under 6000 N/m of hoop."""
    capacity = bonded_capacity(overlap_m=0.05, cloth_stiffness_n_per_m=645e3, tape_stiffness_n_per_m=645e3)
    assert capacity == pytest.approx(0.2 * 2 * 7999.482, rel=1e-6)
    assert capacity < 6000


@pytest.mark.parametrize(
    "figures",
    [
        {"tension_n_per_m": -1, "cloth_n_per_m": CLOTH, "extent_m": (0, 0)},
        {"tension_n_per_m": 1, "cloth_n_per_m": 0, "extent_m": (0, 0)},
        {"tension_n_per_m": 1, "cloth_n_per_m": CLOTH, "extent_m": (-0.1, 0)},
        {"tension_n_per_m": 1, "cloth_n_per_m": CLOTH, "extent_m": (0, 0), "pitch_m": 0},
    ],
)
def test_figures_that_cannot_be_are_refused_with_a_sentence(figures):
    with pytest.raises(ValueError, match=r"\.$"):
        casing_layup(**figures)


def test_a_patch_is_never_weaker_than_the_tubes_own_seams():
    assert required_strength(100, CLOTH, 1, 0.66) == pytest.approx(0.66 * CLOTH)


def test_a_canopy_patch_may_be_one_ply_and_a_scuff_ply_lies_outside():
    canopy = casing_layup(tension_n_per_m=390, cloth_n_per_m=8_000, extent_m=(0.1, 0), least_plies=1)
    assert (canopy.plies_inside, canopy.plies_outside) == (1, 0)
    over = casing_layup(
        tension_n_per_m=6000, cloth_n_per_m=CLOTH, extent_m=(0.1, 0.1), least_plies=1, outside_only=True
    )
    assert (over.plies_inside, over.plies_outside) == (0, 1)


def test_a_patch_is_counted_by_its_weaker_direction_and_the_seams_by_the_stronger():
    """0.66 x 40 000 = 26 400 N/m asked; one ply of 20 000 gives 17 000, two give 34 000."""
    layup = casing_layup(
        tension_n_per_m=0, cloth_n_per_m=40_000, patch_n_per_m=20_000, extent_m=(0, 0), least_plies=1
    )
    assert (layup.required_n_per_m, layup.plies) == (pytest.approx(26_400), 2)


def test_a_patch_goes_at_most_once_around_its_tube():
    layup = casing_layup(tension_n_per_m=3000, cloth_n_per_m=CLOTH, extent_m=(0.02, 0.3), around_m=0.33)
    assert layup.outline_m == (0.08, 0.33)


@pytest.mark.parametrize(("beyond_m", "rows"), [(0.029, 0), (0.030, 2), (0.032, 3), (0.038, 4)])
def test_rows_find_their_place_on_the_overlap_or_do_not_count(beyond_m, rows):
    """15 mm clear, 6 mm between rows, 5 mm to the edge, and never under 30 mm."""
    assert rows_seated(beyond_m) == rows


def test_tape_goes_on_one_face_or_on_both():
    with pytest.raises(ValueError, match="one face or on both"):
        bonded_capacity(
            overlap_m=0.03, cloth_stiffness_n_per_m=80_000, tape_stiffness_n_per_m=80_000, faces=3
        )
