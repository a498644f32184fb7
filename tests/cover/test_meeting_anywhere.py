"""Meets, borders, misses: against an outside library, and whatever changes about side, unit and pattern."""

from dataclasses import replace
from math import cos, pi

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import LineString
from shapely.geometry import box as outside_box

from shoprepair.cover import footprints
from shoprepair.cover.damage_view import DamageView, radius_at, share_across
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.meeting import BORDERS_M, Meeting, meet
from shoprepair.cover.reach import placed
from shoprepair.cover.unrolled import LEADING_EDGE, At, spot_at
from shoprepair.gear.curve import centreline
from shoprepair.gear.geometry import Spot, point, resolve
from shoprepair.gear.planform import Planform, TubeFigures
from shoprepair.mechanics.description import Direction, Element, Face, Place
from shoprepair.shop.units import Units, read_length
from tests.cover.cloth import KITE, WING, damage, patch, patch_layup, place

quick = settings(max_examples=15, deadline=None)


planforms = st.sampled_from([WING, KITE])


faces = st.sampled_from([Face.TOP, Face.UNDERSIDE, Face.UNKNOWN])


directions = st.sampled_from([Direction.ALONG, Direction.AROUND, Direction.UNKNOWN])


@quick
@given(
    st.floats(-0.25, 0.25).map(lambda x: round(x, 3)),
    st.floats(-0.2, 0.2).map(lambda x: round(x, 3)),
    st.floats(0.01, 0.2).map(lambda x: round(x, 3)),
    st.sampled_from([Direction.ALONG, Direction.AROUND]),
)
def test_on_the_flat_cloth_all_is_as_an_outside_library_says(
    u: float, v: float, length: float, direction: Direction
) -> None:
    """A tube of one diameter, so that the cloth is a plain rectangle, and a patch without round corners."""
    pipe = replace(WING, leading_edge=TubeFigures(diameter_root_m=0.2, diameter_tip_m=0.2))
    sewn = patch(planform=pipe, corner=0.0, around=0.08)
    (middle,) = placed(pipe, damage())
    start = middle.along * centreline(pipe).length_m
    assume(abs(middle.around + v / 0.1 - pi / 2) < 1.5)
    there = spot_at(pipe, LEADING_EDGE, At(start + u, 0.1 * middle.around + v))
    assume(there.side == "right" and 0 < there.around < pi)
    # Exactly along the edge a tear lies inside or outside by the rounding of its place.
    beside = abs(u) - 0.06 if direction is Direction.AROUND else abs(v) - 0.04
    assume(abs(beside) > 1e-6)
    line = centreline(pipe)
    station = line.station(line.t_at_arc(start + u))
    of = damage(at=place(station=station), across=-cos(there.around), length_m=length, direction=direction)
    met = meet(pipe, sewn, of)
    half = (length / 2, 0) if direction is Direction.ALONG else (0, length / 2)
    cut = translate(LineString([(-half[0], -half[1]), half]), u, v)
    cloth = outside_box(-0.06, -0.04, 0.06, 0.04)
    assert met.distance_m == pytest.approx(cloth.distance(cut), abs=1e-6)
    assert met.share_inside * length == pytest.approx(cloth.intersection(cut).length, abs=1e-6)


@st.composite
def held(draw: st.DrawFn) -> tuple[Planform, Footprint, DamageView]:
    """A patch on a tube and a damage anywhere near it."""
    planform = draw(planforms)
    station, side = draw(st.floats(0.15, 0.8)), draw(st.sampled_from(["left", "right"]))
    first = damage(at=place(station=station, side=side, face=draw(faces)), across=draw(st.floats(-0.9, 0.9)))
    sewn = patch(
        first, planform, along=draw(st.sampled_from([0.08, 0.2])), rows=draw(st.sampled_from([2, 3]))
    )
    later = damage(
        at=place(station=station + draw(st.floats(-0.05, 0.05)), side=side, face=draw(faces)),
        across=draw(st.floats(-0.9, 0.9)),
        length_m=draw(st.sampled_from([0.01, 0.04, 0.15])),
        direction=draw(directions),
    )
    return planform, sewn, later


def same(one: Meeting, other: Meeting, within_m: float = 1e-9) -> None:
    """Both meetings say the same, to a length."""
    assert one.distance_m == pytest.approx(other.distance_m, abs=within_m)
    assert one.depth_m == pytest.approx(other.depth_m, abs=within_m)
    on_the_edge = abs(one.distance_m - BORDERS_M) < within_m or max(one.distance_m, one.depth_m) < within_m
    assert on_the_edge or one.relation == other.relation


def mirrored(of: DamageView) -> DamageView:
    side = {"left": "right", "right": "left"}[of.place.side]
    return replace(of, place=replace(of.place, side=side))


@quick
@given(held())
def test_left_meets_as_right_does(case: tuple[Planform, Footprint, DamageView]) -> None:
    planform, sewn, later = case
    other = replace(sewn, side={"left": "right", "right": "left"}[sewn.side])
    one, two = meet(planform, sewn, later), meet(planform, other, mirrored(later))
    same(one, two)
    assert (one.row, one.rows_crossed, one.face_unknown) == (two.row, two.rows_crossed, two.face_unknown)
    assert meet(planform, other, later).mirror_distance_m == pytest.approx(one.distance_m, abs=1e-9)


@quick
@given(held(), st.integers(1, 64))
def test_a_length_typed_in_inches_meets_as_the_same_in_millimetres(
    case: tuple[Planform, Footprint, DamageView], sixteenths: int
) -> None:
    planform, sewn, later = case
    inches = read_length(f"{sixteenths}/16 in", Units(length="in")).value_si
    millimetres = read_length(f"{sixteenths * 25.4 / 16:.4f} mm", Units()).value_si
    same(
        meet(planform, sewn, replace(later, length_m=inches)),
        meet(planform, sewn, replace(later, length_m=millimetres)),
    )


def redrawn(planform: Planform, longer: float, thicker: float, swept: float) -> Planform:
    """The same pattern after somebody put its figures right; nothing in the way of a pin."""
    tube = planform.leading_edge
    return replace(
        planform,
        span_m=planform.span_m * longer,
        chord_centre_m=planform.chord_centre_m * longer,
        sweep_m=planform.sweep_m * swept,
        leading_edge=replace(
            tube,
            diameter_root_m=tube.diameter_root_m * thicker,
            diameter_tip_m=tube.diameter_tip_m * thicker,
        ),
        fittings=(),
        bridle_stations=(),
        handle_shares=(),
    )


@quick
@given(held(), st.floats(0.9, 1.15), st.floats(0.9, 1.15), st.floats(0.95, 1.1))
def test_inside_stays_inside_when_the_patterns_figures_change(
    case: tuple[Planform, Footprint, DamageView], longer: float, thicker: float, swept: float
) -> None:
    """The pin is set on today's drawing; the repair lies on the drawing of its own day."""
    planform, sewn, later = case
    today = redrawn(planform, longer, thicker, swept)
    radius = radius_at(today, later.place)
    assert radius is not None
    at = point(today, Spot(later.place, None, later.across * radius, "", 0, 0))
    found = resolve(today, *at)
    assume(found.place.element is Element.LEADING_EDGE)
    pinned = replace(
        later,
        place=replace(found.place, face=later.place.face),
        across=share_across(today, found.place, found.offset_m),
    )
    same(meet(planform, sewn, pinned), meet(planform, sewn, later), within_m=1e-4)
    smaller = replace(sewn, half_along_m=sewn.half_along_m - 1e-3, half_around_m=sewn.half_around_m - 1e-3)
    if meet(planform, smaller, later).share_inside == 1:
        assert meet(planform, sewn, pinned).share_inside == 1


@quick
@given(st.floats(0.05, 0.6), st.floats(0.9, 1.1), st.floats(0.15, 0.85))
def test_inside_a_canopy_patch_stays_inside_too(station: float, longer: float, fraction: float) -> None:
    bare = redrawn(KITE, 1.0, 1.0, 1.0)
    today = redrawn(KITE, longer, 1.0, longer)
    here = Place(element=Element.CANOPY, station=station, side="right", fraction=fraction)
    try:
        found = resolve(today, *point(today, here))
    except ValueError:
        return
    assume(found.place.element is Element.CANOPY)
    of = damage(at=here)
    sewn = footprints.of(bare, of, "canopy", patch_layup(0.2, 0.2), operation="canopy-patch-sewn")
    assert meet(bare, sewn, replace(of, place=found.place)).share_inside == pytest.approx(1, abs=1e-6)


@quick
@given(st.floats(0.2, 0.85), st.floats(-0.8, 0.8), st.floats(0.9, 1.15), st.floats(0.9, 1.15))
def test_inside_a_strut_patch_stays_inside_too(
    fraction: float, across: float, longer: float, thicker: float
) -> None:
    bare = redrawn(KITE, 1.0, 1.0, 1.0)
    today = redrawn(KITE, longer, thicker, longer)
    here = place(Element.STRUT, strut=1, station=0.35, fraction=fraction)
    of = damage(at=here, across=across, length_m=0.02)
    radius = radius_at(today, here)
    assert radius is not None
    found = resolve(today, *point(today, Spot(here, None, across * radius, "", 0, 0)))
    pinned = replace(
        of,
        place=replace(found.place, face=Face.TOP),
        across=share_across(today, found.place, found.offset_m),
    )
    sewn = patch(of, bare, along=0.08, around=0.07)
    same(meet(bare, sewn, pinned), meet(bare, sewn, of), within_m=1e-4)
    assert meet(bare, sewn, pinned).share_inside == 1
