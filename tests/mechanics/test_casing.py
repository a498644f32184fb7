from dataclasses import replace
from math import pi

import pytest

from shoprepair.mechanics import slit
from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.description import (
    Band,
    Condition,
    Direction,
    Finding,
    FindingKind,
    Fold,
)
from tests.mechanics.patterns import (
    DOUBLED_WING,
    KITE,
    TAPERED_KITE,
    THREE_STRUT_WING,
    UNBRIDLED_KITE,
    WING,
)
from tests.mechanics.wild import cut, on_strut, on_the_leading_edge

CENTRE = on_the_leading_edge(0.0, side="centre")
HOT_HOOP = ((50000 + 101325) * 323.15 / 293.15 - 101325) * 0.12


def figure(assessment, name):
    return next(f.quantity.value for f in assessment.figures if f.name == name)


def said(assessment):
    return " ".join(sentence.text for sentence in assessment.reasons)


def test_a_cut_along_the_centre_of_the_wing():
    """Hot-beach hoop × Hedgepeth's factor of the 24 yarns cut ÷ 35 kN/m."""
    judged = assess(WING, CENTRE, cut(0.010))
    assert judged.load_ratio == pytest.approx(HOT_HOOP * slit.yarn_stress_factor(24) / 35000)
    assert judged.case == "hot beach"
    assert judged.run_length_m == slit.run_length(HOT_HOOP, 35000, 2400)
    assert judged.hopeful_load_ratio == pytest.approx(HOT_HOOP * (1 + 10 / 3) ** 0.5 / 35000)
    assert judged.demand_n_per_m == pytest.approx(HOT_HOOP)


def test_a_cut_around_the_centre_of_the_wing_is_pulled_by_its_bending():
    judged = assess(WING, CENTRE, cut(0.010, Direction.AROUND))
    assert judged.case == "riding"
    assert figure(judged, "tension along, riding") > figure(judged, "tension along, hot beach")


def test_a_cut_around_a_strut_is_pulled_by_the_heat():
    assert assess(WING, on_strut(), cut(0.010, Direction.AROUND)).case == "hot beach"


@pytest.mark.parametrize("degrees", [0, 20, 45, 70, 90])
def test_a_slanting_cut_lies_between_straight_ones(degrees):
    slanting = cut(0.012, Direction.ANGLE, angle_rad=degrees * pi / 180)
    worst = assess(WING, CENTRE, cut(0.012, Direction.UNKNOWN)).load_ratio
    assert 0 < assess(WING, CENTRE, slanting).load_ratio <= worst


def test_a_direction_not_said_is_taken_the_worse_way_and_said():
    unsaid = assess(WING, CENTRE, cut(0.012, Direction.UNKNOWN))
    ratios = [assess(WING, CENTRE, cut(0.012, d)).load_ratio for d in (Direction.ALONG, Direction.AROUND)]
    assert unsaid.load_ratio == max(ratios)
    assert "The direction was not said: taken the worse way." in said(unsaid)


def test_a_hole_cuts_both_ways():
    hole = assess(WING, CENTRE, Finding(kind=FindingKind.HOLE, length_m=0.012))
    assert hole.load_ratio == assess(WING, CENTRE, cut(0.012, Direction.UNKNOWN)).load_ratio
    assert "direction" not in said(hole)


def test_a_length_not_measured_is_taken_as_the_radius_and_said():
    unsaid = assess(WING, CENTRE, cut(None))
    assert unsaid.load_ratio == assess(WING, CENTRE, cut(0.12)).load_ratio
    assert "The length was not measured" in said(unsaid)
    assert not unsaid.out_of_range


@pytest.mark.parametrize(
    ("length", "sentence"),
    [
        (0.005, "A cut along the tube runs at about {run_length} here; this one is {length}."),
        (0.030, "A cut along the tube runs at about {run_length} here; do not inflate."),
        (0.090, "A cut along the tube of {length} runs here for certain; do not inflate."),
        (
            0.130,
            "A cut along the tube longer than the tube's radius, {radius}, lets the bladder out; "
            "do not inflate.",
        ),
    ],
)
def test_the_deciding_sentence_says_where_a_cut_runs(length, sentence):
    judged = assess(WING, CENTRE, cut(length))
    assert judged.reason.text == sentence
    assert all(f"{{{name}}}" in sentence for name in judged.reason.values)


def test_a_cut_longer_than_the_radius_is_grounded_whatever_its_ratio():
    soft = replace(WING, rated_pressure_pa=5000)
    judged = assess(soft, on_the_leading_edge(1.0), cut(0.061))
    assert judged.out_of_range
    assert judged.load_ratio < 1
    assert judged.band is Band.GROUNDED
    assert judged.urgency == 75


def test_a_tube_that_could_hold_any_cut_still_lets_the_bladder_out_at_its_radius():
    soft = replace(WING, rated_pressure_pa=5000)
    judged = assess(soft, on_the_leading_edge(1.0), cut(0.020))
    assert judged.run_length_m == pytest.approx(0.06)
    assert judged.reason.text.startswith("A cut along the tube lets the bladder out from {radius} here")


def test_even_the_hopeful_bound_says_that_a_long_cut_runs():
    """Hot hoop 7858 N/m at √(1 + 100/3): 46 kN/m against 35."""
    judged = assess(WING, CENTRE, cut(0.100))
    assert judged.runs_for_certain
    assert judged.hopeful_load_ratio >= 1


def test_a_cut_that_only_its_bulging_lips_make_run_is_warned_of():
    """Folias 1965 (from memory) on the hopeful bound; counted nowhere, but said."""
    coarse = replace(WING, casing=replace(WING.casing, yarns_warp_per_m=600.0))
    judged = assess(coarse, CENTRE, cut(0.026))
    assert judged.load_ratio < 1
    assert "bulge" in said(judged)


def test_two_plies_halve_the_ratio_of_a_cut():
    single, doubled = (assess(p, CENTRE, cut(0.010)).load_ratio for p in (WING, DOUBLED_WING))
    assert doubled == pytest.approx(single / 2)


def test_the_doubling_is_said_and_to_be_looked_at():
    judged = assess(DOUBLED_WING, CENTRE, cut(0.010))
    assert "The casing is doubled here: two plies are counted." in said(judged)
    assert "The casing is doubled here: look at both plies." in {s.text for s in judged.inspect}


@pytest.mark.parametrize(("state", "left"), [(Condition.FADED, 0.8), (Condition.BRITTLE, 0.6)])
def test_tired_cloth_raises_the_ratio_of_a_cut(state, left):
    sound, tired = (
        assess(WING, CENTRE, cut(0.010, condition=c)).load_ratio for c in (Condition.SOUND, state)
    )
    assert tired == pytest.approx(sound / left)


@pytest.mark.parametrize(("fold", "left"), [(Fold.ROUND, 1.0), (Fold.EDGE, 0.5), (Fold.UNTRIED, 0.5)])
def test_a_scuff_holds_what_the_fold_test_leaves(fold, left):
    """Round: sound. To an edge: half is gone. Not tried: the worse. Common practice, no source."""
    judged = assess(WING, CENTRE, Finding(kind=FindingKind.SCUFF, fold=fold))
    assert judged.load_ratio == pytest.approx(HOT_HOOP / (35000 * left))
    assert judged.reason.values["left"].value == pytest.approx(35000 * left)


def test_an_opened_seam_is_a_slit_in_cloth_as_weak_as_the_seam():
    """Seam efficiency 0.66: assumed unless measured."""
    opened = Finding(kind=FindingKind.SEAM_OPENED, length_m=0.010, direction=Direction.ALONG)
    judged = assess(WING, CENTRE, opened)
    assert judged.load_ratio == pytest.approx(assess(WING, CENTRE, cut(0.010)).load_ratio / 0.66)
    assert figure(judged, "seam efficiency") == 0.66


def test_a_measured_seam_counts_as_measured():
    opened = Finding(kind=FindingKind.SEAM_OPENED, length_m=0.010, direction=Direction.ALONG)
    judged = assess(THREE_STRUT_WING, CENTRE, opened)
    assert figure(judged, "seam efficiency") == 0.7


def test_stitching_gone_along_the_leading_edge_is_an_opened_seam():
    gone = Finding(kind=FindingKind.STITCHING, stitched_whole_m=0.10, stitched_left_m=0.07)
    opened = Finding(kind=FindingKind.SEAM_OPENED, length_m=0.03)
    assert assess(WING, CENTRE, gone).load_ratio == pytest.approx(assess(WING, CENTRE, opened).load_ratio)


def test_a_fold_is_said_in_words():
    judged = assess(UNBRIDLED_KITE, CENTRE, cut(0.010))
    assert "Riding, the tube folds here" in said(judged)
    taut = next(f for f in judged.figures if f.name == "tension along, riding")
    assert taut.formula.endswith("just before the tube folds")


def test_a_bridle_not_known_counts_as_held_at_the_centre_and_is_said():
    judged = assess(UNBRIDLED_KITE, CENTRE, cut(0.010, Direction.AROUND))
    held = assess(
        replace(KITE, area_m2=7.0, held=False, bridle_stations=()), CENTRE, cut(0.010, Direction.AROUND)
    )
    assert judged.load_ratio == held.load_ratio
    assert judged.load_ratio > assess(KITE, CENTRE, cut(0.010, Direction.AROUND)).load_ratio
    assert "taken as held at the centre" in said(judged)


def test_the_bridle_point_lost_is_shown_but_not_banded():
    place = on_the_leading_edge(0.2)
    judged = assess(KITE, place, cut(0.010, Direction.AROUND))
    lost = figure(judged, "tension along, one inner bridle point lost")
    riding = figure(judged, "tension along, riding")
    assert lost > riding
    assert "one inner bridle point lost" in said(judged)
    assert judged.load_ratio == pytest.approx(riding * slit.yarn_stress_factor(24) / 35000)


def test_figures_that_the_pattern_only_assumes_are_marked():
    judged = assess(TAPERED_KITE, on_the_leading_edge(0.2), cut(0.010))
    marked = {f.name for f in judged.figures if f.assumed}
    assert {"rated pressure", "wind", "heated to", "cloth strength around"} <= marked
    assert "plies" not in marked
