"""What each kind of repair covers, and that its footprint comes back from a record as it was."""

import json
from math import pi
from typing import Any

import pytest

from shoprepair.cover import footprints, plan
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.meeting import meet
from shoprepair.cover.reach import placed
from shoprepair.cover.unrolled import girth_m, length_m
from shoprepair.jobs.stored import plain
from shoprepair.mechanics.description import Direction, Element, Face
from tests.cover.cloth import WING, damage, patch, patch_layup, place, seam_layup

CANOPY = place(Element.CANOPY, fraction=0.3, station=0.7)
WINDOW = place(Element.WINDOW, fraction=0.25, station=0.2)
STRUT = place(Element.STRUT, strut=1, fraction=0.3, station=0.52)
HEM = place(Element.TRAILING_EDGE, fraction=0.99, station=0.4)
VALVE = place(Element.VALVE, station=0.1)
HANDLE = place(Element.HANDLE, strut=0, fraction=0.2, station=0.0, side="centre")


@pytest.mark.parametrize(
    ("operation", "area", "layup", "of", "surface", "layer", "shape"),
    [
        ("casing-patch", "casing", patch_layup(), damage(), "leading-edge", "casing", "patch"),
        ("casing-patch", "casing", patch_layup(), damage(at=STRUT), "strut-right-1", "casing", "patch"),
        ("casing-panel", "casing", {}, damage(), "leading-edge", "casing", "ring"),
        ("le-burst-rebuild", "casing", patch_layup(0.5, 0.7), damage(), "leading-edge", "casing", "ring"),
        ("le-burst-rebuild", "casing", patch_layup(0.5, 0.4), damage(), "leading-edge", "casing", "patch"),
        ("closing-seam-resew", "seam", seam_layup(), damage(), "leading-edge", "casing", "seam"),
        ("bladder-patch", "bladder", {}, damage("leak"), "leading-edge", "bladder", "patch"),
        ("bladder-replace-le", "bladder", {}, damage("leak"), "leading-edge", "bladder", "tube"),
        ("valve-reseal", "valve", {}, damage("leak", VALVE), "inflation-1", "fitting", "region"),
        ("handle-resew", "attachment", seam_layup(), damage(at=HANDLE), "handle-1", "fitting", "region"),
        ("canopy-patch-sewn", "canopy", patch_layup(), damage(at=CANOPY), "canopy", "canopy", "patch"),
        ("canopy-panel", "canopy", {}, damage(at=CANOPY), "canopy", "canopy", "region"),
        ("window-replace", "window", {}, damage(at=WINDOW), "canopy", "canopy", "region"),
        ("trailing-edge-rebuild", "trailing edge", {}, damage(at=HEM), "canopy", "canopy", "patch"),
        ("closing-zip-replace", "closure", {}, damage(), "leading-edge", "casing", "seam"),
        ("of-our-own", "casing", {}, damage(), "leading-edge", "casing", "patch"),
    ],
)
def test_each_repair_covers_its_own_ground(
    operation: str, area: str, layup: dict[str, Any], of: DamageView, surface: str, layer: str, shape: str
) -> None:
    laid = footprints.of(WING, of, area, layup, operation=operation)
    assert (laid.surface, laid.layer, laid.shape) == (surface, layer, shape)
    assert laid.half_along_m > 0
    assert laid.half_around_m > 0
    assert plan.pieces(WING, laid)
    if area not in ("seam", "closure"):
        assert meet(WING, laid, of).share_inside == 1
    assert footprints.read(json.loads(json.dumps(plain(laid)))) == laid


def test_a_patch_lies_about_its_damage_with_its_rows_inside_the_edge() -> None:
    laid = patch(along=0.12, around=0.08, rows=3, corner=0.025)
    (spot,) = placed(WING, damage())
    assert (laid.along, laid.around) == (spot.along, spot.around) == (pytest.approx(0.2814, abs=1e-4), pi / 2)
    assert (laid.half_along_m, laid.half_around_m, laid.corner_m) == (0.06, 0.04, 0.025)
    assert laid.rows_in_m == pytest.approx((0.005, 0.011, 0.017))


def test_a_new_stretch_of_casing_is_the_cut_segment_under_the_damage() -> None:
    laid = footprints.of(WING, damage(), "casing", {}, operation="casing-panel")
    assert laid.along == pytest.approx(1.5 / WING.segments)
    assert 2 * laid.half_along_m == pytest.approx(length_m(WING, "leading-edge") / WING.segments)


def test_a_seam_between_segments_lies_where_the_maker_sewed_it() -> None:
    found = damage("seam opened", place(station=0.265))
    laid = footprints.of(WING, found, "seam", seam_layup(), operation="segment-seam-resew")
    assert laid.along == 0.25
    assert not laid.runs_along
    far = footprints.of(
        WING, damage("seam opened", place(station=0.4)), "seam", seam_layup(), operation="segment-seam-resew"
    )
    assert far.along == pytest.approx(0.3765, abs=1e-3)


def test_a_closing_seam_lies_at_the_back_and_a_joint_round_the_mouth_of_its_strut() -> None:
    back = damage("seam opened", place(face=Face.BACK), across=0.6)
    closing = footprints.of(WING, back, "seam", seam_layup(), operation="closing-seam-resew")
    assert (closing.around, closing.runs_along, closing.face_said) == (pi, True, True)
    mouth = damage("stitching gone", place(Element.STRUT, strut=1, fraction=0.03, face=Face.UNKNOWN))
    once = girth_m(WING, "strut-right-1", 0)
    joint = footprints.of(WING, mouth, "strut", seam_layup(round(once, 3)), operation="strut-joint-resew")
    assert (joint.along, joint.face_said) == (0.0, True)
    assert 2 * joint.half_around_m == pytest.approx(once)


def test_a_panel_and_its_window_are_told_apart() -> None:
    panel = footprints.of(WING, damage(at=WINDOW), "canopy", {}, operation="canopy-panel")
    window = footprints.of(WING, damage(at=WINDOW), "window", {}, operation="window-replace")
    assert (panel.region, window.region) == ("panel-right-0-0", "window-right-0-0")
    assert window.half_along_m < panel.half_along_m


def test_a_repair_whose_side_nobody_said_may_lie_on_either() -> None:
    assert not patch(damage(at=place(face=Face.UNKNOWN))).face_said
    assert patch(damage(at=place(face=Face.UNDERSIDE))).face_said


@pytest.mark.parametrize("direction", list(Direction))
def test_a_tear_at_the_trailing_edge_runs_inwards_and_its_new_hem_covers_all_of_it(
    direction: Direction,
) -> None:
    torn = damage("tear", HEM, length_m=0.2, direction=direction, angle_deg=60)
    hem = footprints.of(WING, torn, "trailing edge", {}, operation="trailing-edge-rebuild")
    assert meet(WING, hem, torn).share_inside == pytest.approx(1)
