from dataclasses import asdict, replace
from json import dumps
from math import inf, isfinite, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.mechanics.assessment import (
    MODEL_VERSION,
    assess,
    band,
    sound_load_ratio,
    sound_strut_ratio,
    urgency,
)
from shoprepair.mechanics.bands import LEAST_RATIO
from shoprepair.mechanics.description import (
    DEFAULT_CASES,
    Band,
    Direction,
    Element,
    Finding,
    FindingKind,
    Fold,
    Kind,
    Place,
    Softens,
)
from tests.mechanics.patterns import KITE, PATTERNS, WING
from tests.mechanics.wild import (
    cut,
    cut_kinds,
    directions,
    findings,
    lengths,
    on_canopy,
    on_strut,
    on_the_leading_edge,
    patterns,
    places,
    stations,
    unhurried,
    wild_patterns,
)

A_SENTENCE = r"^[A-Z“].*\.$"


def place_on(element):
    strut = 0 if element is Element.STRUT else None
    return Place(element=element, station=0.4, side="left", strut=strut, fraction=0.3)


def judged_or_refused(pattern, place, finding):
    """The assessment, or None where it was refused in one plain sentence."""
    try:
        return assess(pattern, place, finding)
    except ValueError as refusal:
        sentence = str(refusal)
    assert sentence[0].isupper()
    assert sentence.endswith(".")
    return None


def every_assessment():
    for pattern in PATTERNS:
        for element in Element:
            for kind in FindingKind:
                finding = Finding(kind=kind, length_m=0.012, stitched_left_m=0.03)
                for asked in (finding, Finding(kind=kind)):
                    judged = judged_or_refused(pattern, place_on(element), asked)
                    if judged is not None:
                        yield judged


@unhurried
@given(wild_patterns, places, findings)
def test_whatever_comes_in_is_judged_or_refused_in_a_sentence(pattern, place, finding):
    judged = judged_or_refused(pattern, place, finding)
    if judged is None:
        return
    assert 0 <= judged.urgency <= 100
    assert judged.load_ratio >= 0
    assert list(Band).index(judged.band) <= list(Band).index(band(judged.load_ratio))
    assert judged.urgency >= urgency(judged.load_ratio)


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.name)
@pytest.mark.parametrize("element", Element)
def test_each_kind_of_damage_on_each_element_has_an_answer(pattern, element):
    answers = {
        kind: judged_or_refused(pattern, place_on(element), Finding(kind=kind)) for kind in FindingKind
    }
    assert answers[FindingKind.STAIN] is not None or (element is Element.STRUT and not pattern.struts)
    assert answers[FindingKind.RESIDUE] is not None or (element is Element.STRUT and not pattern.struts)


@pytest.mark.parametrize(
    ("element", "kind"),
    [
        (Element.CANOPY, FindingKind.BURST),
        (Element.WINDOW, FindingKind.LEAK),
        (Element.HOSE, FindingKind.SCUFF),
        (Element.HOSE, FindingKind.SEAM_OPENED),
        (Element.VALVE, FindingKind.STITCHING),
    ],
)
def test_damage_that_a_part_cannot_have_is_refused(element, kind):
    with pytest.raises(ValueError, match="choose another kind of damage"):
        assess(WING, place_on(element), Finding(kind=kind))


def test_the_band_and_urgency_are_those_of_the_ratio_or_of_the_floor():
    for judged in every_assessment():
        by_ratio = band(judged.load_ratio)
        if judged.band is by_ratio:
            assert judged.urgency in (urgency(judged.load_ratio), urgency(LEAST_RATIO[judged.band]))
        else:
            assert judged.urgency == urgency(LEAST_RATIO[judged.band])


@unhurried
@given(patterns, stations, lengths, lengths, directions, cut_kinds)
def test_a_longer_cut_is_never_less_urgent(pattern, station, one, other, direction, kind):
    shorter, longer = (Finding(kind=kind, length_m=a, direction=direction) for a in sorted((one, other)))
    here = on_the_leading_edge(station)
    less, more = assess(pattern, here, shorter), assess(pattern, here, longer)
    assert less.load_ratio <= more.load_ratio
    assert less.urgency <= more.urgency


@unhurried
@given(patterns, stations, lengths, lengths, directions)
def test_a_longer_tear_is_never_less_urgent(pattern, station, one, other, direction):
    shorter, longer = (
        Finding(kind=FindingKind.TEAR, length_m=a, direction=direction) for a in sorted((one, other))
    )
    less, more = (assess(pattern, on_canopy(station), finding) for finding in (shorter, longer))
    assert less.urgency <= more.urgency


@unhurried
@given(stations, lengths, st.floats(1.0, 2.5))
def test_a_harder_pumped_or_fatter_tube_is_never_safer_along(station, length, times):
    base = assess(WING, on_the_leading_edge(station), cut(length)).load_ratio
    edge = WING.leading_edge
    fatter = replace(
        edge, diameter_root_m=edge.diameter_root_m * times, diameter_tip_m=edge.diameter_tip_m * times
    )
    for pattern in (replace(WING, rated_pressure_pa=50000 * times), replace(WING, leading_edge=fatter)):
        assert assess(pattern, on_the_leading_edge(station), cut(length)).load_ratio >= base * (1 - 1e-12)


@unhurried
@given(stations, stations, lengths)
def test_a_leak_or_tear_of_a_mirror_place_is_judged_alike(station, fraction, length):
    for finding in (cut(length), Finding(kind=FindingKind.LEAK, softens=Softens.HOUR)):
        left, right = (
            assess(KITE, Place(element=Element.LEADING_EDGE, station=station, side=side), finding)
            for side in ("left", "right")
        )
        assert left.load_ratio == right.load_ratio


@unhurried
@given(patterns, stations, lengths)
def test_where_the_ratio_reaches_one_is_the_run_length(pattern, station, length):
    judged = assess(pattern, on_the_leading_edge(station), cut(length))
    radius = next(f.quantity.value for f in judged.figures if f.name == "radius")
    if length <= radius and judged.run_length_m < radius:
        assert (judged.load_ratio > 1) == (length > judged.run_length_m + 1e-9)


@unhurried
@given(patterns, stations, lengths)
def test_residue_never_hides_a_worse_flaw(pattern, station, length):
    here = on_the_leading_edge(station)
    for flaw in (
        cut(length),
        Finding(kind=FindingKind.LEAK, softens=Softens.DAY),
        Finding(kind=FindingKind.BURST),
    ):
        bare = assess(pattern, here, flaw)
        covered = assess(pattern, here, Finding(kind=FindingKind.RESIDUE, under=flaw))
        assert covered.load_ratio >= bare.load_ratio
        assert covered.urgency >= bare.urgency


def test_residue_over_an_unknown_flaw_is_judged_as_sound_cloth_and_says_so():
    judged = assess(WING, on_the_leading_edge(0.2), Finding(kind=FindingKind.RESIDUE))
    assert judged.load_ratio == sound_load_ratio(WING, 0.2, DEFAULT_CASES)
    assert "What lies under it is not known" in judged.reasons[0].text


def test_residue_over_a_known_flaw_is_judged_by_the_flaw_and_says_so():
    flaw = cut(0.02)
    judged = assess(WING, on_the_leading_edge(0.2), Finding(kind=FindingKind.RESIDUE, under=flaw))
    assert judged.load_ratio == assess(WING, on_the_leading_edge(0.2), flaw).load_ratio
    assert "Judged by the cut under the residue." in {reason.text for reason in judged.reasons}


def test_residue_cannot_cover_residue():
    stain = Finding(kind=FindingKind.STAIN)
    with pytest.raises(ValueError, match="not what covers it"):
        assess(WING, on_the_leading_edge(), Finding(kind=FindingKind.RESIDUE, under=stain))


def test_a_scuff_that_stays_round_is_judged_as_sound_cloth():
    scuff = Finding(kind=FindingKind.SCUFF, fold=Fold.ROUND)
    for station in (0, 0.3, 1):
        judged = assess(KITE, on_the_leading_edge(station), scuff)
        assert judged.load_ratio == sound_load_ratio(KITE, station)
    assert assess(KITE, on_strut(1), scuff).load_ratio == sound_strut_ratio(KITE, 1)


def test_a_strut_is_asked_less_toward_its_thin_end():
    assert sound_strut_ratio(KITE, 0) > sound_strut_ratio(KITE, 0, DEFAULT_CASES, fraction=1.0)


def test_every_sentence_has_each_of_its_quantities_and_no_other():
    for judged in every_assessment():
        for sentence in (judged.reason, *judged.reasons, *judged.inspect, *judged.cautions):
            written = sentence.text.format(**dict.fromkeys(sentence.values, "7"))
            assert written[0].isupper()
            assert written.endswith(".")
            assert all(f"{{{name}}}" in sentence.text for name in sentence.values)


def test_every_figure_but_the_ratio_is_finite_so_that_it_can_be_stored():
    for judged in every_assessment():
        quantities = [figure.quantity for figure in judged.figures]
        quantities += [
            q for s in (judged.reason, *judged.reasons, *judged.inspect) for q in s.values.values()
        ]
        assert all(isfinite(quantity.value) for quantity in quantities)
        stored = asdict(replace(judged, load_ratio=0.0))
        assert dumps(stored, allow_nan=False)


def test_every_step_names_what_it_was_computed_from():
    """Each formula in words names a figure that stands before it, so that a person can follow it down."""
    for judged in every_assessment():
        before = []
        for figure in judged.figures:
            if figure.formula and before:
                assert any(name in figure.formula for name in before), figure
            assert figure.source
            before.append(figure.name)
        assert len(before) == len(set(before))


def test_what_every_ratio_hangs_on_can_be_opened():
    for judged in every_assessment():
        ratios = [f.quantity.value for f in judged.figures if f.name == "load ratio"]
        if judged.figures and judged.load_ratio < inf:
            assert ratios in ([], [judged.load_ratio])


def test_the_shop_may_set_its_own_load_cases():
    cooler = replace(DEFAULT_CASES, hot_celsius=20.0)
    windier = replace(DEFAULT_CASES, held_wind_m_per_s=15.0)
    along, around = cut(0.01), cut(0.01, Direction.AROUND)
    here = on_the_leading_edge(0)
    assert assess(WING, here, along, cooler).load_ratio < assess(WING, here, along).load_ratio
    assert assess(WING, here, around, windier).load_ratio > assess(WING, here, around).load_ratio


def test_the_model_says_its_version():
    assert MODEL_VERSION


BROKEN_PATTERNS = [
    replace(WING, rated_pressure_pa=0),
    replace(WING, rated_pressure_pa=nan),
    replace(WING, area_m2=-1),
    replace(WING, span_m=0),
    replace(WING, chord_centre_m=0),
    replace(WING, chord_tip_m=-1),
    replace(WING, seam_efficiency=0),
    replace(WING, casing=replace(WING.casing, strength_weft_n_per_m=0)),
    replace(WING, canopy=replace(WING.canopy, yarns_warp_per_m=-1)),
    replace(WING, window=replace(WING.casing, strength_warp_n_per_m=inf)),
    replace(WING, leading_edge=replace(WING.leading_edge, diameter_root_m=0)),
    replace(WING, leading_edge=replace(WING.leading_edge, length_m=0)),
    replace(KITE, bridle_stations=(0.2, 0.2)),
    replace(KITE, bridle_stations=(0.2, 1.2)),
]


@pytest.mark.parametrize("pattern", BROKEN_PATTERNS)
def test_a_pattern_that_cannot_be_is_refused_in_a_sentence(pattern):
    with pytest.raises(ValueError, match=A_SENTENCE):
        assess(pattern, on_the_leading_edge(0.0), cut())


@pytest.mark.parametrize(
    ("place", "finding"),
    [
        (on_the_leading_edge(1.1), cut()),
        (on_the_leading_edge(nan), cut()),
        (on_canopy(-0.1), cut()),
        (on_strut(9), cut()),
        (on_strut(0, fraction=2.0), cut()),
        (Place(element=Element.STRUT, station=0.0), cut()),
        (on_the_leading_edge(), cut(0.0)),
        (on_the_leading_edge(), cut(-0.01)),
        (on_the_leading_edge(), cut(nan)),
        (on_the_leading_edge(), cut(inf)),
        (on_the_leading_edge(), cut(direction=Direction.ANGLE, angle_rad=inf)),
        (on_the_leading_edge(), Finding(kind=FindingKind.RESIDUE, under=cut(0.0))),
    ],
)
def test_a_place_or_finding_that_cannot_be_is_refused_in_a_sentence(place, finding):
    with pytest.raises(ValueError, match=A_SENTENCE):
        assess(WING, place, finding)


@pytest.mark.parametrize(
    "cases",
    [
        replace(DEFAULT_CASES, brittle_share=0.0),
        replace(DEFAULT_CASES, folded_share=1.5),
        replace(DEFAULT_CASES, flaw_length_m=0.0),
        replace(DEFAULT_CASES, camber_share=0.0),
        replace(DEFAULT_CASES, held_wind_m_per_s=-1.0),
        replace(DEFAULT_CASES, held_share=-0.1),
        replace(DEFAULT_CASES, fill_celsius=-300.0),
        replace(DEFAULT_CASES, held_lift_cap_n=-1.0),
    ],
)
def test_load_cases_that_cannot_be_are_refused_in_a_sentence(cases):
    with pytest.raises(ValueError, match=A_SENTENCE):
        assess(WING, on_the_leading_edge(), cut(), cases)


def test_the_kinds_of_gear_are_the_two_that_the_shop_repairs():
    assert {pattern.kind for pattern in PATTERNS} == set(Kind)
