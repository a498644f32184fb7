import pytest

from shoprepair.work.test_pressure import Casing, at_pressure

CASING = Casing(radius_m=0.12, strength_n_per_m=35_000)


def at(bar, rated=0.5, casing=CASING):
    return at_pressure(bar * 1e5, rated_pa=rated * 1e5, casing=casing)


def test_hoop_tension_is_pressure_times_radius():
    """Membrane theory: 0.5 bar in a tube of 0.24 m gives 6000 N/m, 1/5.8333 of cloth that holds 35 kN/m."""
    answer = at(0.5)
    assert answer.hoop_n_per_m == pytest.approx(6000)
    assert 1 / answer.share_of_cloth == pytest.approx(5.8333, rel=1e-4)
    assert "17\u00a0% of its cloth strength" in answer.reason.text
    assert not answer.needs_owner


def test_the_seam_carries_a_greater_share_than_the_cloth():
    answer = at(0.5)
    assert answer.share_of_seam == pytest.approx(answer.share_of_cloth / 0.66)
    assert "26\u00a0% of what it holds" in answer.reasons[0].text


def test_more_than_rated_is_for_the_owner_to_allow():
    answer = at(0.55)
    assert answer.needs_owner
    assert any("only the owner may allow it" in said.text for said in answer.reasons)


def test_a_rated_pressure_that_went_through_psi_and_back_is_not_above_itself():
    assert not at(0.5 * (1 + 1e-9)).needs_owner


def test_eye_and_ear_protection_is_named_at_every_pressure():
    assert any("eye and ear protection" in caution.text for caution in at(0.3).cautions)


def test_a_thin_margin_is_said():
    assert any("threefold" in said.text for said in at(0.7).reasons)
    assert not any("threefold" in said.text for said in at(0.5).reasons)


def test_a_pressure_that_parts_the_seam_is_refused():
    with pytest.raises(ValueError, match="closing seam is expected to part"):
        at(2.0)


@pytest.mark.parametrize("bar", [0, -0.5, float("nan"), float("inf")])
def test_no_pressure_is_no_test(bar):
    with pytest.raises(ValueError, match="must be more than zero"):
        at(bar)


def test_every_figure_can_be_followed_down():
    names = [figure.name for figure in at(0.5).figures]
    assert names.index("hoop tension") > names.index("radius")
    assert names[-1] == "share of the seam"
