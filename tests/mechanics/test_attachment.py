from dataclasses import replace
from math import inf

import pytest

from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.attachment import share_of_lift, stitched_left, strength_per_metre
from shoprepair.mechanics.description import (
    DEFAULT_CASES,
    Band,
    Element,
    Finding,
    FindingKind,
    Place,
)
from shoprepair.mechanics.loads import leading_edge_lift, lift
from shoprepair.mechanics.seam import stitched_strength
from tests.mechanics.patterns import KITE, THREE_STRUT_WING, UNBRIDLED_KITE, WING
from tests.mechanics.wild import on_strut

HANDLE = Place(element=Element.HANDLE, station=0.0, fraction=0.3)


def bridle_point(station):
    return Place(element=Element.BRIDLE_POINT, station=station, side="right")


def gone(left=None, whole=None, opened=None, rows=2):
    return Finding(
        kind=FindingKind.STITCHING, stitched_left_m=left, stitched_whole_m=whole, length_m=opened, rows=rows
    )


def said(assessment):
    return " ".join(sentence.text for sentence in assessment.reasons)


def test_two_handles_share_the_lift():
    force, _ = share_of_lift(WING, HANDLE, DEFAULT_CASES)
    assert force == pytest.approx(lift(WING, DEFAULT_CASES) / 2)


def test_bridle_points_share_the_lift_of_the_leading_edge_as_a_beam_does():
    """Ratios of 527.365 : 402.734 : 194.900 N (three-moment equation, elliptical lift)."""
    forces = [share_of_lift(KITE, bridle_point(y / 3), DEFAULT_CASES)[0] for y in (0.6, 1.6, 2.6)]
    whole = leading_edge_lift(KITE, DEFAULT_CASES)
    assert [f / whole * 2250 for f in forces] == pytest.approx([527.365, 402.734, 194.900], abs=1e-3)
    assert 2 * sum(forces) == pytest.approx(whole)


def test_the_nearest_bridle_point_is_meant():
    near, at = (share_of_lift(KITE, bridle_point(s), DEFAULT_CASES) for s in (0.23, 0.2))
    assert near == at


def test_a_bridle_point_of_an_unknown_bridle_is_taken_to_carry_all_and_that_is_said():
    force, how = share_of_lift(UNBRIDLED_KITE, bridle_point(0.3), DEFAULT_CASES)
    assert force == leading_edge_lift(UNBRIDLED_KITE, DEFAULT_CASES)
    assert "not known" in how


def test_the_leading_edge_hangs_on_the_centre_strut_of_held_gear():
    force, _ = share_of_lift(WING, on_strut(0), DEFAULT_CASES)
    assert force == leading_edge_lift(WING, DEFAULT_CASES)


def test_the_other_struts_share_what_the_leading_edge_does_not_take():
    force, _ = share_of_lift(THREE_STRUT_WING, on_strut(1), DEFAULT_CASES)
    assert force == pytest.approx(0.4 * lift(THREE_STRUT_WING, DEFAULT_CASES) / 3)


def test_the_stitching_left_against_its_share():
    judged = assess(WING, HANDLE, gone(left=0.04, rows=1))
    row = stitched_strength(1000 / 3, 62, 1, 1.24)
    assert judged.load_ratio == pytest.approx(lift(WING, DEFAULT_CASES) / 2 / (0.04 * row))
    assert judged.reason.text == "Riding asks {force} of this stitching; what is left holds about {holds}."


def test_more_rows_hold_no_more_than_the_cloth():
    assert strength_per_metre(WING, 1, DEFAULT_CASES) < 35000
    assert strength_per_metre(WING, 2, DEFAULT_CASES) == strength_per_metre(WING, 5, DEFAULT_CASES) == 35000


@pytest.mark.parametrize(
    ("finding", "left"),
    [
        (gone(left=0.03), 0.03),
        (gone(whole=0.10, opened=0.04), 0.06),
        (gone(whole=0.10, opened=0.20), 0.0),
        (gone(whole=0.10), 0.0),
        (gone(), 0.0),
    ],
)
def test_what_is_left_is_what_was_measured_or_the_whole_less_what_opened(finding, left):
    assert stitched_left(finding) == pytest.approx(left)


def test_stitching_nobody_measured_is_taken_as_none_and_said():
    judged = assess(WING, HANDLE, gone())
    assert (judged.load_ratio, judged.urgency, judged.band) == (inf, 100, Band.GROUNDED)
    assert "taken as none" in said(judged)
    assert judged.reason.text == "No stitching is left to carry {force}; do not ride."


def test_stitching_asked_more_than_it_holds_keeps_the_wing_ashore():
    judged = assess(WING, HANDLE, gone(left=0.005))
    assert judged.reason.text.endswith("; do not ride.")
    assert judged.band is Band.GROUNDED


def test_an_opened_seam_at_a_handle_is_its_stitching_gone():
    opened = replace(gone(left=0.04), kind=FindingKind.SEAM_OPENED)
    assert assess(WING, HANDLE, opened).load_ratio == assess(WING, HANDLE, gone(left=0.04)).load_ratio


def test_the_handle_of_a_bridled_kite_is_only_for_carrying():
    judged = assess(KITE, HANDLE, gone(left=0.0))
    assert judged.load_ratio == 0
    assert "for carrying" in said(judged)


def test_held_gear_has_no_bridle_points():
    with pytest.raises(ValueError, match="no bridle points"):
        assess(WING, bridle_point(0.3), gone(left=0.01))


@pytest.mark.parametrize(
    "finding", [gone(left=0.2, whole=0.1), gone(left=-0.1), gone(whole=-1.0), gone(rows=-1)]
)
def test_stitching_that_cannot_be_is_refused_in_a_sentence(finding):
    with pytest.raises(ValueError, match=r"^[A-Z].*\.$"):
        assess(WING, HANDLE, finding)
