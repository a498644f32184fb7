"""Strategies for the property tests: inflatables, places and findings as they may come in."""

from dataclasses import replace

from hypothesis import settings
from hypothesis import strategies as st

from shoprepair.mechanics.description import (
    Answer,
    Condition,
    Direction,
    Element,
    Face,
    Finding,
    FindingKind,
    Fold,
    Place,
    Softens,
    Tube,
)
from tests.mechanics.patterns import KITE, PATTERNS, TAPERED_KITE, THREE_STRUT_WING, WING

unhurried = settings(deadline=None, max_examples=40)

stations = st.floats(0, 1)
lengths = st.floats(0.0005, 2.0)
pressures = st.floats(10_000, 120_000)
patterns = st.sampled_from(PATTERNS)
plain_patterns = st.sampled_from((WING, THREE_STRUT_WING, KITE, TAPERED_KITE))
cut_kinds = st.sampled_from((FindingKind.CUT, FindingKind.HOLE, FindingKind.SEAM_OPENED))
directions = st.sampled_from(Direction)

bare_findings = st.builds(
    Finding,
    kind=st.sampled_from(FindingKind),
    length_m=st.none() | lengths,
    direction=directions,
    angle_rad=st.none() | st.floats(-3, 3),
    fold=st.sampled_from(Fold),
    condition=st.sampled_from(Condition),
    through_bladder=st.sampled_from(Answer),
    softens=st.sampled_from(Softens),
    seconds_to_half=st.none() | st.floats(1, 1e7),
    stitched_left_m=st.none() | st.floats(0, 0.5),
    stitched_whole_m=st.none() | st.floats(0, 0.5),
    rows=st.integers(0, 4),
)
findings = st.builds(
    lambda finding, under: replace(finding, under=under), bare_findings, st.none() | bare_findings
)
places = st.builds(
    Place,
    element=st.sampled_from(Element),
    station=stations,
    side=st.sampled_from(("left", "right", "centre")),
    strut=st.none() | st.integers(0, 3),
    fraction=stations,
    face=st.sampled_from(Face),
)
wild_patterns = st.builds(
    lambda pattern, pressure, root, tip, area, span, bridle: replace(
        pattern,
        rated_pressure_pa=pressure,
        area_m2=area,
        span_m=span,
        bridle_stations=tuple(sorted(bridle)),
        leading_edge=Tube(diameter_root_m=root, diameter_tip_m=tip, length_m=span * 0.55),
    ),
    patterns,
    pressures,
    st.floats(0.03, 0.45),
    st.floats(0.03, 0.45),
    st.floats(0.5, 30),
    st.floats(1, 14),
    st.sets(st.floats(0.02, 1).map(lambda s: round(s, 2)), max_size=5),
)


def on_the_leading_edge(station=0.0, side="left", face=Face.UNKNOWN):
    return Place(element=Element.LEADING_EDGE, station=station, side=side, face=face)


def on_strut(strut=0, fraction=0.0, station=0.0, side="centre"):
    return Place(element=Element.STRUT, station=station, strut=strut, fraction=fraction, side=side)


def on_canopy(station=0.3, element=Element.CANOPY):
    return Place(element=element, station=station, side="left", fraction=0.5)


def cut(length_m=0.025, direction=Direction.ALONG, **said):
    return Finding(kind=FindingKind.CUT, length_m=length_m, direction=direction, **said)
