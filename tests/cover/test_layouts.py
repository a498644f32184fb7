"""Whatever a shop writes into its catalogue, a hand-back never fails over the footprint that follows."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.cover import drawing, footprints, plan
from shoprepair.cover.meeting import meet
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Answer, Direction, Element, Face, FindingKind, Place
from shoprepair.shop.units import Units
from tests.cover.cloth import KITE, WING, damage, patch_layup, place, seam_layup

OPERATIONS = json.loads(Path("fixtures/operations.json").read_text())
CODES = ["of-our-own", *(each["code"] for each in OPERATIONS)]
AREAS = sorted({each["area"] for each in OPERATIONS})
LAYUPS: list[dict[str, Any]] = [
    {},
    patch_layup(),
    patch_layup(1.2, 2.0, rows=6),
    {"kind": "tape", "outline_m": [0.1, 0.1], "corner_m": 0.02},
    seam_layup(),
    seam_layup(2.0, rows=3, tapes=0),
]
ON_STRUTS = (Element.STRUT, Element.HANDLE, Element.VALVE, Element.HOSE)


@st.composite
def places(draw: st.DrawFn) -> Place:
    element = draw(st.sampled_from(list(Element)))
    on_strut = element in ON_STRUTS and (element is Element.STRUT or draw(st.booleans()))
    strut = draw(st.sampled_from([0, 1])) if on_strut else None
    return Place(
        element=element,
        station=draw(st.floats(0, 1)),
        side="centre" if strut == 0 else draw(st.sampled_from(["left", "right", "centre"])),
        strut=strut,
        fraction=draw(st.floats(0, 1)),
        face=draw(st.sampled_from(list(Face))),
    )


damages = st.builds(
    damage,
    st.sampled_from(["", *(kind.value for kind in FindingKind)]),
    places(),
    across=st.floats(-1.3, 1.3),
    length_m=st.one_of(st.none(), st.floats(0, 3)),
    direction=st.sampled_from(list(Direction)),
    angle_deg=st.one_of(st.none(), st.floats(0, 90)),
    through_bladder=st.sampled_from(list(Answer)),
)


@settings(max_examples=15, deadline=None)
@given(
    st.sampled_from([WING, KITE]),
    damages,
    damages,
    st.sampled_from(AREAS),
    st.sampled_from(CODES),
    st.sampled_from(LAYUPS),
)
def test_any_repair_of_any_damage_has_a_footprint_that_any_damage_can_be_held_against(
    planform: Planform, of: Any, later: Any, area: str, code: str, layup: dict[str, Any]
) -> None:
    laid = footprints.of(planform, of, area, layup, operation=code)
    for held in (of, later):
        met = meet(planform, laid, held)
        assert met.relation in ("meets", "borders", "misses")
        assert 0 <= met.share_inside <= 1 + 1e-9
        assert (met.distance_m == 0) or met.relation != "meets"
    assert all(len(piece.corners) > 2 for piece in plan.pieces(planform, laid))
    drawn = drawing.unrolled(planform, [laid], later, Units(), "", labels=["1"])
    assert len(drawn) + len(drawing.on_planform(planform, [laid])) < 400_000


STRUT = place(Element.STRUT, strut=1, fraction=0.3, station=0.52)
CANOPY = place(Element.CANOPY, fraction=0.3, station=0.7)


def test_a_new_panel_of_a_strut_goes_round_it_a_little_beyond_the_damage() -> None:
    laid = footprints.of(WING, damage(at=STRUT, length_m=0.1), "casing", {}, operation="casing-panel")
    assert laid.shape == "ring"
    assert 0.05 < laid.half_along_m < 0.25


def test_damage_longer_than_a_segment_takes_a_panel_of_its_own_length() -> None:
    short, long = (
        footprints.of(WING, damage(length_m=length), "casing", {}, operation="casing-panel")
        for length in (0.1, 1.2)
    )
    assert long.half_along_m == pytest.approx(0.6)
    assert short.half_along_m < long.half_along_m


def test_an_old_patch_that_was_peeled_off_leaves_at_least_a_hand_s_breadth() -> None:
    small, large = (
        footprints.of(
            WING, damage("residue", CANOPY, length_m=length), "canopy", {}, operation="stretch-patch-peel"
        )
        for length in (0.01, 0.5)
    )
    assert small.shape == large.shape == "patch"
    assert large.half_along_m > small.half_along_m > 0.02


def test_a_canopy_seam_is_sewn_along_as_it_opened() -> None:
    opened = damage("seam opened", CANOPY)
    laid = footprints.of(WING, opened, "canopy", seam_layup(), operation="canopy-seam-resew")
    assert (laid.layer, laid.shape) == ("canopy", "seam")
