"""What the trade holds true: common practice, no source. The arithmetic or a stated rule must agree."""

from dataclasses import replace

import pytest
from hypothesis import given

from shoprepair.mechanics import tube
from shoprepair.mechanics.assessment import assess, sound_load_ratio, sound_strut_ratio
from shoprepair.mechanics.description import (
    DEFAULT_CASES,
    Band,
    Condition,
    Direction,
    Finding,
    FindingKind,
    Fold,
)
from tests.mechanics.patterns import DOUBLED_WING, KITE, PATTERNS, TAPERED_KITE, THREE_STRUT_WING, WING
from tests.mechanics.wild import cut, lengths, on_strut, on_the_leading_edge, stations, unhurried

MM_25 = 0.025


def ratio(pattern, station, finding):
    return assess(pattern, on_the_leading_edge(station), finding).load_ratio


# 1. The same damage is worse on a held wing than on a bridled kite, worst at the centre, least at the tips.


@pytest.mark.parametrize("direction", Direction)
def test_the_same_cut_is_worse_on_a_held_wing_than_on_a_bridled_kite(direction):
    """common practice, no source"""
    finding = cut(MM_25, direction, angle_rad=0.7)
    assert ratio(WING, 0, finding) > ratio(KITE, 0, finding)


def test_in_the_very_same_tube_it_is_the_support_at_the_centre_that_makes_a_wing_worse():
    """common practice, no source"""
    wing_tube_on_a_bridle = replace(WING, held=False, bridle_stations=(0.2, 0.5, 0.85))
    around = cut(MM_25, Direction.AROUND)
    assert ratio(WING, 0, around) > 1.3 * ratio(wing_tube_on_a_bridle, 0, around)


@unhurried
@given(stations, stations, lengths)
def test_a_cut_grows_more_dangerous_toward_the_centre(one, other, length):
    """common practice, no source"""
    inner, outer = sorted((one, other))
    for pattern in (WING, THREE_STRUT_WING):
        for direction in (Direction.ALONG, Direction.AROUND, Direction.UNKNOWN):
            finding = cut(length, direction)
            assert ratio(pattern, inner, finding) >= ratio(pattern, outer, finding) * (1 - 1e-12)


@unhurried
@given(stations, stations)
def test_sound_cloth_of_a_held_wing_is_asked_most_at_the_centre(one, other):
    """common practice, no source"""
    inner, outer = sorted((one, other))
    assert sound_load_ratio(WING, inner, DEFAULT_CASES) >= sound_load_ratio(WING, outer, DEFAULT_CASES)


def test_sound_cloth_carries_its_own_load_everywhere_on_every_pattern():
    """common practice, no source: whole gear holds."""
    for pattern in (WING, DOUBLED_WING, THREE_STRUT_WING, KITE, TAPERED_KITE):
        asked = [sound_load_ratio(pattern, tenth / 10) for tenth in range(11)]
        asked += [sound_strut_ratio(pattern, i) for i in range(len(pattern.struts))]
        assert max(asked) < 0.5


# 2. At equal pressure the seam load grows with the diameter; stiffness grows with its cube.


def test_double_the_tube_is_double_the_load_on_its_seams():
    """common practice, no source"""
    assert tube.hoop_tension(50000, 0.2) == 2 * tube.hoop_tension(50000, 0.1)


def test_a_fat_tube_at_less_pressure_is_stiffer_than_a_thin_one_pumped_hard_at_the_same_seam_load():
    """common practice, no source"""
    fat, thin = (40000, 0.12), (60000, 0.08)
    assert tube.hoop_tension(*fat) == tube.hoop_tension(*thin)
    assert tube.wrinkling_moment(*fat) == pytest.approx(2.25 * tube.wrinkling_moment(*thin))


@unhurried
@given(stations)
def test_fatter_or_harder_never_eases_a_cut_along_the_tube(station):
    """common practice, no source"""
    along = cut(MM_25)
    fatter = replace(WING, leading_edge=replace(WING.leading_edge, diameter_root_m=0.28, diameter_tip_m=0.14))
    harder = replace(WING, rated_pressure_pa=60000)
    assert ratio(fatter, station, along) > ratio(WING, station, along)
    assert ratio(harder, station, along) > ratio(WING, station, along)


# 3. A cut in a casing, even of 25 mm, is shop work; canopy tape is never an answer.


@unhurried
@given(stations)
def test_a_cut_of_25_mm_in_a_casing_is_shop_work_wherever_it_lies(station):
    """common practice, no source"""
    for pattern in PATTERNS:
        judged = assess(pattern, on_the_leading_edge(station), cut(MM_25))
        assert judged.band in (Band.GROUNDED, Band.REPAIR_FIRST)
        assert judged.urgency >= 50
        assert any("canopy tape never holds on a casing" in reason.text for reason in judged.reasons)


def test_a_cut_of_two_millimetres_in_a_strut_is_shop_work_too():
    """common practice, no source"""
    judged = assess(KITE, on_strut(2, fraction=1.0), cut(0.002))
    assert judged.load_ratio < 0.25
    assert (judged.band, judged.urgency) == (Band.REPAIR_FIRST, 50)


def test_in_the_centre_section_of_a_wing_a_cut_of_25_mm_is_not_to_be_inflated():
    """common practice, no source: far from a shop only toward the tips, in the centre section don't."""
    for pattern in (WING, THREE_STRUT_WING):
        assert assess(pattern, on_the_leading_edge(0), cut(MM_25)).band is Band.GROUNDED
        assert assess(pattern, on_the_leading_edge(1), cut(MM_25)).band is Band.REPAIR_FIRST


@pytest.mark.parametrize("kind", [FindingKind.CUT, FindingKind.HOLE, FindingKind.SEAM_OPENED])
def test_every_opening_of_a_casing_is_at_least_repair_first(kind):
    """common practice, no source"""
    small = Finding(kind=kind, length_m=0.001, direction=Direction.AROUND)
    assert assess(KITE, on_strut(2, fraction=1.0), small).band is Band.REPAIR_FIRST


# 4. Fold the casing along a scrape: round, the fibres are sound; to a knife edge, half the cloth is gone.


@pytest.mark.parametrize(
    ("fold", "band"),
    [(Fold.ROUND, Band.WATCH), (Fold.EDGE, Band.REPAIR_FIRST), (Fold.UNTRIED, Band.REPAIR_FIRST)],
)
def test_the_fold_test_decides_a_scuff(fold, band):
    """common practice, no source"""
    scuff = Finding(kind=FindingKind.SCUFF, fold=fold)
    judged = assess(WING, on_the_leading_edge(0.2), scuff)
    assert judged.band is band
    round_one = assess(WING, on_the_leading_edge(0.2), replace(scuff, fold=Fold.ROUND))
    assert judged.load_ratio in (round_one.load_ratio, pytest.approx(2 * round_one.load_ratio))


def test_a_fold_not_tried_is_said_to_be_taken_the_worse_way():
    """common practice, no source"""
    judged = assess(WING, on_the_leading_edge(0.2), Finding(kind=FindingKind.SCUFF))
    assert "The fold was not tried" in judged.reason.text


@unhurried
@given(stations)
def test_a_worse_fold_or_condition_is_never_less_urgent(station):
    """common practice, no source"""
    scuff = Finding(kind=FindingKind.SCUFF)
    for worsening in (
        [replace(scuff, fold=fold) for fold in (Fold.ROUND, Fold.EDGE)],
        [replace(scuff, condition=c) for c in (Condition.SOUND, Condition.FADED, Condition.BRITTLE)],
        [cut(0.004, condition=c) for c in (Condition.SOUND, Condition.FADED, Condition.BRITTLE)],
    ):
        for pattern in PATTERNS:
            judged = [assess(pattern, on_the_leading_edge(station), finding) for finding in worsening]
            assert [a.load_ratio for a in judged] == sorted(a.load_ratio for a in judged)
            assert [a.urgency for a in judged] == sorted(a.urgency for a in judged)


# 6. Where the casing is doubled a patch needs more plies: the doubling is seen and said.


def test_a_doubled_casing_carries_on_both_its_plies_and_says_so():
    """common practice, no source"""
    judged = assess(DOUBLED_WING, on_the_leading_edge(0.1), cut(MM_25))
    assert ratio(DOUBLED_WING, 0.1, cut(MM_25)) == pytest.approx(ratio(WING, 0.1, cut(MM_25)) / 2)
    assert any("both plies" in look.text for look in judged.inspect)


# 8. After a burst the mirror place on the other side is the next to go.


@pytest.mark.parametrize(("side", "other"), [("left", "right"), ("right", "left")])
def test_a_burst_is_grounded_and_points_to_its_mirror_place(side, other):
    """common practice, no source"""
    judged = assess(WING, on_the_leading_edge(0.5, side=side), Finding(kind=FindingKind.BURST))
    assert (judged.band, judged.urgency) == (Band.GROUNDED, 100)
    assert f"{other} of the centre" in judged.inspect[0].text


def test_the_rule_that_lifts_a_band_stands_in_the_deciding_sentence_and_only_there():
    rule = "Any cut in a casing is shop work"
    tip = assess(WING, on_the_leading_edge(0.9), Finding(kind=FindingKind.CUT, length_m=0.002))
    assert tip.load_ratio < 0.5
    assert tip.band is Band.REPAIR_FIRST
    assert rule in tip.reason.text
    assert not any(rule in sentence.text for sentence in tip.reasons)


def test_a_rule_that_lifts_nothing_stands_beside_the_arithmetic_that_decided():
    rule = "Any cut in a casing is shop work"
    centre = assess(WING, on_the_leading_edge(0.0), Finding(kind=FindingKind.CUT, length_m=0.05))
    assert centre.band is Band.GROUNDED
    assert rule not in centre.reason.text
    assert any(rule in sentence.text for sentence in centre.reasons)
