import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.pricing.layup import TEX_70, TEX_90, TEX_135
from shoprepair.pricing.resewing import fitting, seam

loads = st.floats(0, 30_000)
cloths = st.floats(8_000, 60_000)
threads = st.sampled_from([TEX_70, TEX_90, TEX_135])


@given(loads, cloths, st.floats(0.5, 1.0), st.integers(1, 2), threads)
def test_every_resewn_seam_carries_what_is_asked_of_it(load, cloth, weaker, existing, thread):
    sewn = seam(
        opened_m=0.1,
        tension_n_per_m=load,
        cloth_n_per_m=cloth,
        patch_n_per_m=weaker * cloth,
        existing_plies=existing,
        thread=thread,
    )
    plies = 0.85 * weaker * cloth * (existing + sewn.tapes)
    loops = sewn.rows / 0.003 * thread.strength_n * 1.24
    assert min(plies, loops) >= max(3 * load, 0.66 * cloth * existing) * (1 - 1e-12)
    assert sewn.shortfall == 0
    assert sewn.rows >= 2


def test_a_seam_is_sewn_fifty_millimetres_into_sound_stitches_at_both_ends():
    """common practice, no source"""
    assert seam(opened_m=0.12, tension_n_per_m=1000, cloth_n_per_m=35_000).length_m == pytest.approx(0.22)


def test_cloth_too_weak_for_its_load_is_sewn_with_a_tape_under_it():
    """3 x 9000 N/m over 0.85 x 30 000 = 25 500 N/m of one ply: one tape more."""
    assert seam(opened_m=0.1, tension_n_per_m=9000, cloth_n_per_m=30_000).tapes == 1
    assert seam(opened_m=0.1, tension_n_per_m=6000, cloth_n_per_m=30_000).tapes == 0


@given(st.floats(0, 5_000), cloths, st.floats(0.05, 0.5))
def test_a_fittings_stitching_holds_three_times_its_force(force, cloth, least):
    sewn = fitting(force_n=force, cloth_n_per_m=cloth, least_m=least)
    per_metre = min(0.85 * cloth, 2 / 0.003 * 62 * 1.24)
    assert sewn.length_m * per_metre >= 3 * force * (1 - 1e-9)
    assert sewn.length_m >= least
    assert sewn.shortfall == pytest.approx(0, abs=1e-9)


def test_a_force_below_nought_is_refused():
    with pytest.raises(ValueError, match="below nought"):
        fitting(force_n=-1, cloth_n_per_m=1, least_m=0.1)
