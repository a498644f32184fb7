from dataclasses import replace

import pytest

from shoprepair.mechanics import slit
from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.description import (
    DEFAULT_CASES,
    Band,
    Condition,
    Direction,
    Element,
    Finding,
    FindingKind,
    Fold,
)
from shoprepair.mechanics.sailcloth import chord_at, tension_at
from tests.mechanics.patterns import KITE, THREE_STRUT_WING, WING
from tests.mechanics.wild import cut, on_canopy, on_the_leading_edge


def tear(length_m=0.08, direction=Direction.ALONG, kind=FindingKind.TEAR, **said):
    return Finding(kind=kind, length_m=length_m, direction=direction, **said)


def said(assessment):
    return " ".join(sentence.text for sentence in assessment.reasons)


def test_the_tension_of_the_canopy_is_pressure_times_the_radius_of_its_belly():
    """R = c²/8h + h/2 with a camber of 8 % of the chord (assumed), 12 m/s with gusts."""
    chord = 1.9 - 1.5 * 0.3
    radius = chord**2 / (8 * 0.08 * chord) + 0.04 * chord
    assert chord_at(WING, 0.3) == pytest.approx(chord)
    assert tension_at(WING, 0.3, DEFAULT_CASES) == pytest.approx(0.5 * 1.225 * 144 * 1.5 * radius)


def test_a_tear_across_the_chordwise_yarns():
    judged = assess(WING, on_canopy(0.3), tear())
    expected = tension_at(WING, 0.3, DEFAULT_CASES) * slit.yarn_stress_factor(352) / 9000
    assert judged.load_ratio == pytest.approx(expected)
    assert judged.demand_n_per_m == tension_at(WING, 0.3, DEFAULT_CASES)


def test_a_tear_along_the_chord_cuts_the_weft():
    judged = assess(WING, on_canopy(0.3), tear(direction=Direction.AROUND))
    expected = tension_at(WING, 0.3, DEFAULT_CASES) * slit.yarn_stress_factor(320) / 8000
    assert judged.load_ratio == pytest.approx(expected)


def test_a_tear_in_the_canopy_matters_less_than_a_cut_in_the_casing():
    for pattern in (WING, THREE_STRUT_WING, KITE):
        torn = assess(pattern, on_canopy(0.2), tear(0.02)).load_ratio
        assert torn < assess(pattern, on_the_leading_edge(0.2), cut(0.02)).load_ratio


@pytest.mark.parametrize(
    ("pattern", "length", "sentence"),
    [
        (WING, 0.08, "A tear runs at about {run_length} here; this one is {length}."),
        (WING, 0.60, "A tear runs at about {run_length} here; do not ride."),
        (replace(KITE, span_m=14.0), 3.5, "A tear of {length} runs here for certain; do not ride."),
        (replace(WING, chord_centre_m=0.1, chord_tip_m=0.1), 0.01, "A tear of {length} does not run here."),
    ],
)
def test_the_deciding_sentence_says_where_a_tear_runs(pattern, length, sentence):
    judged = assess(pattern, on_canopy(0.2), tear(length))
    assert judged.reason.text == sentence
    assert all(f"{{{name}}}" in sentence for name in judged.reason.values)


def test_a_tear_that_never_runs_has_no_run_length():
    calm = replace(WING, chord_centre_m=0.1, chord_tip_m=0.0)
    assert assess(calm, on_canopy(0.2), tear(0.01)).run_length_m is None
    assert assess(calm, on_canopy(1.0), tear(0.01)).load_ratio == 0


def test_a_tear_not_measured_is_taken_as_the_whole_canopy_and_said():
    judged = assess(WING, on_canopy(), tear(None, Direction.UNKNOWN))
    assert "taken as the whole canopy" in said(judged)
    assert "taken the worse way" in said(judged)
    assert judged.band is Band.GROUNDED


def test_a_window_holds_by_its_film():
    crack = tear(0.08, kind=FindingKind.CRACK)
    judged = assess(WING, on_canopy(element=Element.WINDOW), crack)
    expected = tension_at(WING, 0.3, DEFAULT_CASES) * slit.yarn_stress_factor(192) / 8000
    assert judged.load_ratio == pytest.approx(expected)
    assert "A film has no yarns" in said(judged)


def test_a_window_of_woven_cloth_is_said_nothing_more_of():
    woven = assess(replace(WING, window=WING.canopy), on_canopy(element=Element.WINDOW), tear())
    assert woven.load_ratio == assess(WING, on_canopy(), tear()).load_ratio
    assert "film" not in said(woven)


def test_a_window_of_unknown_film_is_taken_as_canopy_and_said():
    windowless = assess(KITE, on_canopy(element=Element.WINDOW), tear())
    assert windowless.load_ratio == assess(KITE, on_canopy(), tear()).load_ratio
    assert "taken as canopy cloth" in said(windowless)


def test_an_opened_canopy_seam_is_a_tear_in_weaker_cloth():
    seam = tear(kind=FindingKind.SEAM_OPENED)
    torn, opened = (assess(WING, on_canopy(), finding).load_ratio for finding in (tear(), seam))
    assert opened == pytest.approx(torn / 0.66)


def test_a_canopy_has_no_floor():
    """Common practice, no source: canopy tears matter far less."""
    assert assess(WING, on_canopy(0.9), tear(0.005)).band is Band.WATCH
    assert assess(WING, on_canopy(0.9), tear(kind=FindingKind.SCUFF, fold=Fold.EDGE)).band is Band.WATCH


def test_a_worn_canopy_holds_what_the_fold_test_leaves():
    sound, worn = (
        assess(WING, on_canopy(), tear(kind=FindingKind.SCUFF, fold=fold))
        for fold in (Fold.ROUND, Fold.UNTRIED)
    )
    assert worn.load_ratio == pytest.approx(2 * sound.load_ratio)
    assert "not tried" in said(worn)


def test_a_faded_canopy_holds_less():
    sound, faded = (assess(WING, on_canopy(), tear(condition=c)) for c in (Condition.SOUND, Condition.FADED))
    assert faded.load_ratio == pytest.approx(sound.load_ratio / 0.8)
