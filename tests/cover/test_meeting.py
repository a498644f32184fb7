"""Meets, borders, misses: by example."""

from dataclasses import replace
from math import cos, pi

import pytest

from shoprepair.cover import footprints, meeting
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.meeting import Meeting, meet
from shoprepair.gear.curve import centreline
from shoprepair.gear.planform import StrutFigures, TubeFigures
from shoprepair.mechanics.description import Direction, Element, Face
from tests.cover.cloth import KITE, WING, damage, patch, patch_layup, place, seam_layup


def shifted(by_m: float, **figures: object) -> DamageView:
    """A damage so far toward the tip from where the patch has its middle."""
    line = centreline(WING)
    start = line.arc(line.t_at_station(0.3))
    at = place(station=line.station(line.t_at_arc(start + by_m)))
    return damage(at=at, **{"length_m": 0.02, **figures})


def test_a_damage_inside_the_patch_meets_it_wholly() -> None:
    met = meet(WING, patch(), damage())
    assert (met.relation, met.distance_m, met.share_inside) == ("meets", 0, 1)
    assert met.depth_m == pytest.approx(0.04)


@pytest.mark.parametrize(
    ("by_m", "relation", "distance_m"),
    [(0.075, "borders", 0.005), (0.11, "misses", 0.04), (0.5, "misses", 0.43)],
)
def test_beside_the_patch_it_borders_and_farther_it_misses(
    by_m: float, relation: str, distance_m: float
) -> None:
    met = meet(WING, patch(), shifted(by_m))
    assert (met.relation, met.share_inside) == (relation, 0)
    assert met.distance_m == pytest.approx(distance_m, abs=2e-4)


def test_half_in_and_half_out_it_meets_and_goes_through_the_rows() -> None:
    met = meet(WING, patch(), shifted(0.06, length_m=0.05))
    assert met.relation == "meets"
    assert met.share_inside == pytest.approx(0.5, abs=0.01)
    assert (met.rows_crossed, met.row) == (2, None)


@pytest.mark.parametrize(("out_m", "row"), [(0.005, 0), (0.011, 1), (0.04, None)])
def test_a_tear_along_a_row_of_stitches_is_told_by_its_row(out_m: float, row: int | None) -> None:
    met = meet(WING, patch(), shifted(0.06 - out_m, length_m=0.03, direction=Direction.AROUND))
    assert met.row == row


def test_a_disc_counts_for_a_tear_that_nobody_said_the_way_of() -> None:
    assert meet(WING, patch(), shifted(0.08, length_m=0.06, direction=Direction.UNKNOWN)).relation == "meets"
    assert meet(WING, patch(), shifted(0.08, length_m=0.06, direction=Direction.AROUND)).relation == "borders"


def test_an_angle_leans_either_way_and_the_nearer_counts() -> None:
    one = meet(WING, patch(), shifted(0.07, length_m=0.06, direction=Direction.ANGLE, angle_deg=30))
    other = meet(WING, patch(), shifted(0.07, length_m=0.06, direction=Direction.ANGLE, angle_deg=-30))
    assert one == other
    assert one.share_inside > 0


def test_the_far_side_of_the_tube_is_far() -> None:
    met = meet(WING, patch(), damage(at=place(face=Face.UNDERSIDE)))
    assert met.relation == "misses"
    assert met.distance_m == pytest.approx(pi * 0.1031 - 0.04, abs=1e-3)
    assert not met.face_unknown


def test_where_nobody_said_the_side_the_nearer_counts_and_the_other_is_told() -> None:
    met = meet(WING, patch(), damage(at=place(face=Face.UNKNOWN)))
    assert (met.relation, met.face_unknown) == ("meets", True)
    assert met.farthest_m == pytest.approx(pi * 0.1031 - 0.04, abs=1e-3)
    of_either = patch(damage(at=place(face=Face.UNKNOWN)))
    assert meet(WING, of_either, damage(at=place(face=Face.UNDERSIDE))).relation == "meets"


def test_a_patch_at_the_back_is_met_round_the_back() -> None:
    at_the_back = patch(damage(at=place(face=Face.TOP), across=0.95), around=0.2)
    assert at_the_back.around > 2.8
    beneath = damage(at=place(face=Face.UNDERSIDE), across=0.9)
    assert meet(WING, at_the_back, beneath).relation == "meets"


def test_a_ring_is_met_on_every_side_of_its_tube_and_missed_beyond_its_ends() -> None:
    ring = footprints.of(WING, damage(), "casing", {}, operation="casing-panel")
    for face in (Face.TOP, Face.UNDERSIDE, Face.FRONT, Face.BACK):
        assert meet(WING, ring, damage(at=place(face=face))).relation == "meets"
    assert meet(WING, ring, damage(at=place(station=0.6))).relation == "misses"


def test_all_of_a_tubes_film_is_met_anywhere_on_it() -> None:
    film = footprints.of(WING, damage("leak"), "bladder", {}, operation="bladder-replace-le")
    met = meet(WING, film, damage("leak", place(station=0.9, side="left")))
    assert (met.relation, met.without_edge, met.mirror_distance_m) == ("meets", True, None)


def test_another_part_of_the_gear_is_never_met_however_near() -> None:
    rear = damage(at=place(Element.CANOPY, fraction=0.12))
    over = patch(damage(at=place(face=Face.TOP), across=0.8), around=0.2)
    met = meet(WING, over, rear)
    assert not met.same_surface
    assert met.relation in ("borders", "misses")


def test_a_fitting_is_met_on_itself_and_bordered_beside_it() -> None:
    valve = place(Element.VALVE, station=0.1)
    seat = footprints.of(WING, damage("leak", valve), "valve", {}, operation="valve-reseal")
    assert meet(WING, seat, damage("leak", valve)).relation == "meets"
    beside = meet(WING, seat, damage(at=place(station=0.115)))
    assert (beside.relation, beside.same_surface) == ("borders", False)


def test_the_same_seam_opening_again_meets_what_was_sewn() -> None:
    found = damage("seam opened", place(station=0.27), direction=Direction.UNKNOWN)
    sewn = footprints.of(WING, found, "seam", seam_layup(), operation="segment-seam-resew")
    met = meet(WING, sewn, found)
    assert (met.relation, met.share_inside) == ("meets", 1)
    assert (met.seam, met.seam_m) == ("the seam between two segments", 0)


def test_the_mirror_place_is_measured_from_the_other_side() -> None:
    left = damage("burst", place(side="left"), length_m=None)
    met = meet(WING, patch(), left)
    assert (met.relation, met.mirror_distance_m) == ("misses", 0)
    assert meet(WING, patch(), damage()).mirror_distance_m > 0.5


def test_a_damage_on_a_strut_that_the_pattern_did_not_have_misses() -> None:
    met = meet(WING, patch(), damage(at=place(Element.STRUT, strut=3, station=0.7, fraction=0.5)))
    assert (met.relation, met.same_surface) == ("misses", False)


def test_a_panel_is_met_by_what_lies_within_its_seams() -> None:
    of = damage(at=place(Element.CANOPY, fraction=0.3, station=0.7))
    panel = footprints.of(WING, of, "canopy", {}, operation="canopy-panel")
    assert meet(WING, panel, of).relation == "meets"
    across = replace(of, place=place(Element.CANOPY, fraction=0.49, station=0.7), direction=Direction.AROUND)
    assert 0 < meet(WING, panel, across).share_inside < 1
    assert meet(WING, panel, damage(at=place(Element.CANOPY, fraction=0.7, station=0.7))).relation == "misses"


def test_strut_patches_are_met_alike_on_both_sides_and_on_the_centre_strut() -> None:
    on_strut = place(Element.STRUT, strut=1, fraction=0.4, station=0.52)
    for side, sign in (("right", 1), ("left", -1)):
        first = damage(at=replace(on_strut, side=side), across=0.5 * sign)
        assert meet(WING, patch(first, around=0.06), first).depth_m == pytest.approx(0.03)
    centre = damage(at=place(Element.STRUT, strut=0, side="centre", station=0.0, fraction=0.4), across=0.5)
    other = replace(centre, across=-0.5)
    assert meet(WING, patch(centre, around=0.06), centre).relation == "meets"
    assert meet(WING, patch(centre, around=0.06), other).mirror_distance_m is None


def test_a_strut_more_does_not_move_what_was_repaired() -> None:
    more = replace(
        WING,
        struts=(
            *WING.struts,
            StrutFigures(station=0.8, tube=TubeFigures(diameter_root_m=0.1, diameter_tip_m=0.1)),
        ),
    )
    assert meet(WING, patch(), damage()).relation == meet(more, patch(), damage()).relation == "meets"


def test_a_fitting_within_a_patch_is_not_the_cloth_that_was_patched() -> None:
    """Its place lies on the sewn tube, even along a row of stitches; it is still no damage of the cloth."""
    row = shifted(0.055, length_m=0.03, direction=Direction.AROUND)
    assert meet(WING, patch(), row).row == 0
    met = meet(WING, patch(), replace(row, kind="leak", place=replace(row.place, element=Element.VALVE)))
    assert (met.relation, met.same_surface, met.distance_m) == ("borders", False, 0)
    assert (met.depth_m, met.share_inside, met.row, met.rows_crossed) == (0, 0, None, 0)
    through = shifted(0.06, length_m=0.05, kind="leak")
    assert meet(WING, patch(), through).rows_crossed == 2
    valve = replace(through, place=replace(through.place, element=Element.VALVE))
    assert meet(WING, patch(), valve).rows_crossed == 0


def test_only_a_whole_fitting_and_all_of_a_tubes_film_have_no_edge() -> None:
    valve = damage("leak", place(Element.VALVE, station=0.1))
    seat = footprints.of(WING, valve, "valve", {}, operation="valve-reseal")
    ring = footprints.of(WING, damage(), "casing", {}, operation="casing-panel")
    assert meet(WING, seat, valve).without_edge
    assert not meet(WING, seat, damage(at=place(station=0.115))).without_edge
    assert not meet(WING, patch(), damage()).without_edge
    assert not meet(WING, ring, damage()).without_edge


def test_a_ring_is_as_deep_at_its_back_as_at_its_front() -> None:
    ring = footprints.of(WING, damage(), "casing", {}, operation="casing-panel")
    places = ((Face.TOP, 0.0), (Face.TOP, 0.999), (Face.BACK, 1.0), (Face.UNDERSIDE, 0.0))
    met = [meet(WING, ring, damage(at=place(face=face), across=across)) for face, across in places]
    assert [each.depth_m for each in met] == pytest.approx([met[0].depth_m] * 4)
    assert met[0].depth_m > 0.05


def near_a_corner(along_m: float, across_m: float, length_m: float) -> Meeting:
    """A slanting tear on a thin tube, so far along and round it from the middle of a square patch."""
    pipe = replace(WING, leading_edge=TubeFigures(diameter_root_m=0.2, diameter_tip_m=0.2))
    line = centreline(pipe)
    station = line.station(line.t_at_arc(line.arc(line.t_at_station(0.3)) + along_m))
    of = damage(
        at=place(station=station),
        across=-cos(pi / 2 + across_m / 0.1),
        length_m=length_m,
        direction=Direction.ANGLE,
        angle_deg=45,
    )
    return meet(pipe, patch(planform=pipe, corner=0.0, around=0.08), of)


def test_of_two_ways_that_reach_in_the_one_that_lies_more_inside_counts() -> None:
    """Near a corner: leaning toward it a tear leaves by one end, leaning past it by both."""
    out = 0.02 * cos(pi / 4) - 0.01
    met = near_a_corner(0.05, 0.03, 0.04)
    assert met.share_inside == pytest.approx(1 - out / (0.04 * cos(pi / 4)), abs=1e-6)


def test_of_two_ways_that_lie_inside_the_one_that_reaches_deeper_counts() -> None:
    met = near_a_corner(0.04, 0.02, 0.02)
    assert (met.share_inside, met.depth_m) == (1, pytest.approx(0.02 + 0.01 * cos(pi / 4), abs=1e-6))


def test_beside_a_round_corner_a_damage_is_as_far_as_the_round_is() -> None:
    pipe = replace(WING, leading_edge=TubeFigures(diameter_root_m=0.2, diameter_tip_m=0.2))
    line = centreline(pipe)
    station = line.station(line.t_at_arc(line.arc(line.t_at_station(0.3)) + 0.06))
    of = damage(at=place(station=station), across=-cos(pi / 2 + 0.04 / 0.1), length_m=None)
    far = 0.02 * 2**0.5 - 0.02
    assert meet(pipe, patch(planform=pipe, corner=0.02), of).distance_m == pytest.approx(far, abs=1e-6)
    assert meet(pipe, patch(planform=pipe, corner=0.0), of).distance_m == pytest.approx(0, abs=1e-6)


def test_as_far_as_an_edge_stiffens_the_cloth_it_borders_and_no_farther() -> None:
    assert [meeting._relation(by_m, True) for by_m in (0.0, 1e-9, 0.030, 0.0301)] == [
        "meets",
        "borders",
        "borders",
        "misses",
    ]
    assert meeting._relation(0.0, False) == "borders"


def test_where_either_side_is_met_alike_nobody_has_to_look_for_the_side() -> None:
    ring = footprints.of(WING, damage(), "casing", {}, operation="casing-panel")
    of_either = meet(WING, ring, damage(at=place(face=Face.UNKNOWN)))
    assert (of_either.relation, of_either.face_unknown, of_either.farthest_m) == ("meets", False, 0)
    assert meet(WING, ring, damage()).farthest_m is None


def test_a_fitting_is_met_by_no_other_fitting_and_by_none_that_the_drawing_does_not_have() -> None:
    valve = damage("leak", place(Element.VALVE, station=0.1))
    seat = footprints.of(WING, valve, "valve", {}, operation="valve-reseal")
    handle = meet(WING, seat, damage("tear", place(Element.HANDLE, station=0.0, side="centre", fraction=0.6)))
    assert (handle.relation, handle.same_surface) == ("misses", False)
    bare = meet(replace(WING, fittings=()), seat, valve)
    assert (bare.relation, bare.same_surface) == ("misses", False)


def test_beside_a_fitting_only_the_drawing_tells_how_far_the_cloth_is() -> None:
    valve = damage("leak", place(Element.VALVE, station=0.1))
    seat = footprints.of(WING, valve, "valve", {}, operation="valve-reseal")
    above, beneath = (
        meet(WING, seat, damage(at=place(station=0.115, face=face))) for face in (Face.TOP, Face.UNDERSIDE)
    )
    assert above == beneath
    assert meet(WING, seat, damage(at=place(station=0.1, side="left"))).mirror_distance_m is None


def test_all_of_a_tubes_film_is_met_without_depth() -> None:
    film = footprints.of(WING, damage(), "bladder", {}, operation="bladder-replace-le")
    met = meet(WING, film, damage("leak", place(station=0.5)))
    assert (met.share_inside, met.depth_m, met.distance_m) == (1, 0, 0)


def test_a_panel_has_its_mirror_place_in_its_twin() -> None:
    of = damage(at=place(Element.CANOPY, fraction=0.3, station=0.7))
    panel = footprints.of(WING, of, "canopy", {}, operation="canopy-panel")
    twin = replace(of, place=replace(of.place, side="left"))
    assert meet(WING, panel, twin).mirror_distance_m == 0
    assert meet(WING, panel, of).mirror_distance_m > 0.5


def test_a_strut_that_is_laid_out_on_the_canopy_is_not_the_canopy() -> None:
    canopy = damage(at=place(Element.CANOPY, station=0.7, fraction=0.5))
    sewn = footprints.of(WING, canopy, "canopy", patch_layup(), operation="canopy-patch-sewn")
    assert meet(WING, sewn, canopy).same_surface
    met = meet(WING, sewn, damage(at=place(Element.STRUT, strut=3, station=0.7, fraction=0.5)))
    assert (met.relation, met.same_surface) == ("borders", False)


def test_a_strut_has_its_mirror_place_on_its_twin() -> None:
    on_strut = place(Element.STRUT, strut=1, fraction=0.4, station=0.52)
    sewn = patch(damage(at=on_strut, across=0.5), around=0.06)
    twin = damage(at=replace(on_strut, side="left"), across=-0.5)
    assert meet(WING, sewn, twin).mirror_distance_m == 0
    assert meet(WING, sewn, replace(twin, place=replace(twin.place, side="right"))).mirror_distance_m is None


def test_what_lies_nowhere_on_a_drawing_is_endlessly_far() -> None:
    strut = damage(at=place(Element.STRUT, strut=2, station=0.7, fraction=0.4))
    met = meet(WING, patch(strut, KITE, around=0.06), damage())
    assert (met.relation, met.same_surface) == ("misses", False)
    assert met.distance_m > 20
