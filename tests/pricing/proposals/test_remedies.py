import json
from pathlib import Path

import pytest

from shoprepair.jobs.questions import kinds_for
from shoprepair.mechanics.description import Answer, Element, Face, FindingKind, Fold, Softens
from shoprepair.pricing.proposals.remedies import Situation, remedies
from shoprepair.pricing.proposals.unknown import unknowns

CATALOGUE = {row["code"] for row in json.loads(Path("fixtures/operations.json").read_text())}
EVERYTHING = [(element, kind) for element in Element for kind in kinds_for(element)]


def found(element: Element, kind: FindingKind, mm: float = 35, **answers: object) -> Situation:
    """A described damage: measured, the bladder whole."""
    facts = {"length_m": mm / 1000, "taken_m": mm / 1000, "through_bladder": Answer.NO} | answers
    return Situation(element=element, kind=kind, **facts)


def codes(situation: Situation) -> list[str]:
    return [remedy.code for remedy in remedies(situation)]


def advised(situation: Situation) -> list[str]:
    return [remedy.code for remedy in remedies(situation) if remedy.preferred]


@pytest.mark.parametrize(("element", "kind"), EVERYTHING)
@pytest.mark.parametrize("on_strut", [False, True])
def test_everything_that_can_be_wrong_with_a_part_can_be_mended(element, kind, on_strut):
    unsaid = Situation(element=element, kind=kind, on_strut=on_strut, taken_m=0.1)
    for situation in (
        unsaid,
        found(element, kind, on_strut=on_strut),
        found(element, kind, tape_holds=False),
    ):
        assert codes(situation)
        assert set(codes(situation)) <= CATALOGUE


@pytest.mark.parametrize(("element", "kind"), EVERYTHING)
def test_of_every_choice_exactly_one_is_advised_and_there_is_something_to_choose(element, kind):
    for situation in (
        found(element, kind),
        Situation(element=element, kind=kind, taken_m=0.4, old_patch=True),
    ):
        choices = {remedy.choice for remedy in remedies(situation) if remedy.choice}
        for choice in choices:
            alternatives = [remedy for remedy in remedies(situation) if remedy.choice == choice]
            assert len(alternatives) > 1
            assert [remedy.preferred for remedy in alternatives].count(True) == 1


def test_a_casing_cut_takes_a_small_patch_up_to_fifty_millimetres():
    assert codes(found(Element.LEADING_EDGE, FindingKind.CUT, 50)) == ["casing-patch-small"]
    assert codes(found(Element.LEADING_EDGE, FindingKind.CUT, 51)) == ["casing-patch"]


def test_a_long_casing_cut_may_get_a_new_panel_instead():
    assert codes(found(Element.STRUT, FindingKind.CUT, 320)) == ["casing-patch", "casing-panel"]


@pytest.mark.parametrize("element", Element)
def test_canopy_tape_on_a_casing_is_never_an_answer(element):
    """common practice, no source"""
    if element in (Element.CANOPY, Element.WINDOW, Element.TRAILING_EDGE):
        return
    for kind in kinds_for(element):
        assert not {"canopy-tape", "window-tape"} & set(codes(found(element, kind)))


def test_a_cut_through_the_bladder_mends_that_too():
    through = found(Element.LEADING_EDGE, FindingKind.CUT, 35, through_bladder=Answer.YES)
    assert codes(through) == ["casing-patch-small", "bladder-patch", "bladder-replace-le"]
    long = found(Element.LEADING_EDGE, FindingKind.CUT, 120, through_bladder=Answer.YES)
    assert advised(long) == ["casing-patch", "bladder-replace-le"]


def test_a_bladder_that_nobody_looked_at_counts_as_hurt_and_the_page_says_so():
    unsaid = found(Element.STRUT, FindingKind.CUT, through_bladder=Answer.UNKNOWN, on_strut=True)
    assert "bladder-patch" in codes(unsaid)
    assert any("bladder" in said.text for said in unknowns(unsaid, "bladder-patch"))
    assert unknowns(unsaid, "casing-patch-small") == ()


def test_a_burst_is_rebuilt_gets_a_new_bladder_and_a_look_at_the_mirror_place():
    """common practice, no source: a burst usually takes the bladder; the mirror place is the next to go."""
    burst = remedies(Situation(element=Element.LEADING_EDGE, kind=FindingKind.BURST))
    assert [r.code for r in burst if r.preferred] == [
        "le-burst-rebuild",
        "bladder-replace-le",
        "mirror-place-check",
    ]
    assert [r.code for r in burst if r.optional] == ["mirror-place-check"]


def test_a_burst_strut_gets_a_struts_bladder():
    burst = Situation(element=Element.STRUT, kind=FindingKind.BURST, on_strut=True)
    assert advised(burst)[:2] == ["strut-burst-rebuild", "bladder-replace-strut"]


def test_a_scuff_that_stays_round_may_be_left_and_one_that_folds_to_an_edge_may_not():
    """common practice, no source"""
    (ply,) = remedies(found(Element.LEADING_EDGE, FindingKind.SCUFF, fold=Fold.ROUND))
    assert (ply.code, ply.optional, ply.preferred) == ("casing-scuff-ply", True, False)
    edge = remedies(found(Element.LEADING_EDGE, FindingKind.SCUFF, fold=Fold.EDGE))
    assert [(r.code, r.optional) for r in edge] == [
        ("casing-scuff-ply", False),
        ("casing-patch-small", False),
    ]


def test_an_untried_fold_takes_the_dearer_patch():
    assert advised(found(Element.LEADING_EDGE, FindingKind.SCUFF, 80)) == ["casing-patch"]


def test_an_opened_seam_at_the_back_is_the_closing_seam():
    assert codes(found(Element.LEADING_EDGE, FindingKind.SEAM_OPENED, face=Face.BACK)) == [
        "closing-seam-resew"
    ]
    assert codes(found(Element.LEADING_EDGE, FindingKind.SEAM_OPENED)) == ["segment-seam-resew"]


def test_a_short_canopy_tear_is_taped_where_tape_holds_and_sewn_where_it_does_not():
    assert advised(found(Element.CANOPY, FindingKind.TEAR, 90)) == ["canopy-tape"]
    assert codes(found(Element.CANOPY, FindingKind.TEAR, 90, tape_holds=False)) == ["canopy-patch-sewn"]


def test_a_seam_that_opened_far_still_only_chafes_the_bladder():
    seam = found(Element.LEADING_EDGE, FindingKind.SEAM_OPENED, 200, through_bladder=Answer.UNKNOWN)
    assert advised(seam) == ["segment-seam-resew", "bladder-patch"]


def test_a_long_canopy_tear_is_not_offered_tape():
    assert codes(found(Element.CANOPY, FindingKind.TEAR, 340)) == ["canopy-patch-sewn", "canopy-panel"]


def test_the_longer_a_canopy_tear_the_larger_its_repair():
    lengths = [advised(found(Element.CANOPY, FindingKind.TEAR, mm))[0] for mm in (100, 300, 700)]
    assert lengths == ["canopy-tape", "canopy-patch-sewn", "canopy-panel"]


def test_residue_of_an_old_patch_is_peeled_or_cut_out_with_its_panel():
    residue = found(Element.CANOPY, FindingKind.RESIDUE)
    assert codes(residue) == ["stretch-patch-peel", "stretch-patch-cut-out"]
    torn = found(Element.CANOPY, FindingKind.TEAR, old_patch=True)
    assert codes(torn)[-2:] == ["stretch-patch-peel", "stretch-patch-cut-out"]


def test_what_lies_under_residue_is_mended_as_well():
    over = found(Element.CANOPY, FindingKind.RESIDUE, under=FindingKind.TEAR)
    assert codes(over) == ["stretch-patch-peel", "stretch-patch-cut-out", "canopy-tape", "canopy-patch-sewn"]


def test_a_slow_valve_is_sealed_and_a_fast_one_replaced_and_a_dump_valve_is_its_own():
    slow = found(Element.VALVE, FindingKind.LEAK, softens=Softens.DAY, fitting="inflation")
    fast = found(Element.VALVE, FindingKind.LEAK, softens=Softens.MINUTES, fitting="dump")
    assert (advised(slow), advised(fast)) == (["valve-reseal"], ["dump-valve-replace"])


def test_stitching_that_is_left_is_sewn_over_and_where_none_is_left_the_fitting_is_new():
    assert advised(found(Element.HANDLE, FindingKind.STITCHING, stitched_left_m=0.1)) == ["handle-resew"]
    gone = found(Element.BRIDLE_POINT, FindingKind.STITCHING)
    assert advised(gone) == ["bridle-point-rebuild"]
    assert any("taken as none" in said.text for said in unknowns(gone, "bridle-point-rebuild"))


def test_a_strut_is_sewn_on_at_its_joint_and_rebuilt_at_its_end():
    joint = found(Element.STRUT, FindingKind.STITCHING, on_strut=True, fraction=0.02)
    end = found(Element.STRUT, FindingKind.STITCHING, on_strut=True, fraction=0.95)
    assert (codes(joint), codes(end)) == (["strut-joint-resew"], ["strut-end-rebuild"])


def test_a_length_that_nobody_measured_is_said_with_what_was_taken():
    unmeasured = Situation(element=Element.LEADING_EDGE, kind=FindingKind.CUT, taken_m=0.12)
    (length, *_) = unknowns(unmeasured, "casing-patch")
    assert length.values["length"].value == 0.12


def test_an_inflatable_that_came_wet_is_washed():
    assert codes(found(Element.CANOPY, FindingKind.TEAR, wet=True))[-1] == "wash-and-dry"
