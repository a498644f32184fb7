"""The plane geometry of outlines against an outside one, and against what must hold of any outline."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point
from shapely.geometry import Polygon as Outside
from shapely.geometry import box as outside_box

from shoprepair.cover.flat import At, Box, Polygon, Stroke, line_to_line

ROUND = 1e-5
"""What an arc of an outside library, made of 1024 straight pieces, may be off at this size, in m."""
lengths = st.floats(0.005, 0.4).map(lambda x: round(x, 4))
coordinates = st.floats(-0.6, 0.6).map(lambda x: round(x, 4))
points = st.builds(At, coordinates, coordinates)
boxes = st.builds(Box, lengths, lengths, st.floats(0, 0.1).map(lambda x: round(x, 4)))
quick = settings(max_examples=40, deadline=None)


def outside(box: Box) -> Outside:
    """The same box drawn by another hand."""
    core, corner = box.core, box.half_u_m - box.core.u_m
    if min(core) == 0:
        return LineString([(-core.u_m, -core.v_m), (core.u_m, core.v_m)]).buffer(corner, quad_segs=256)
    return outside_box(-core.u_m, -core.v_m, core.u_m, core.v_m).buffer(corner, quad_segs=256)


@quick
@given(boxes, points, points)
def test_a_line_is_as_far_from_a_patch_as_an_outside_library_says(box: Box, a: At, b: At) -> None:
    other = outside(box).distance(LineString([a, b]) if a != b else Point(a))
    assert box.distance(Stroke(a, b)) == pytest.approx(other, abs=ROUND)


@quick
@given(boxes, points, points)
def test_as_much_of_a_line_lies_inside_a_patch_as_an_outside_library_says(box: Box, a: At, b: At) -> None:
    line = LineString([a, b])
    if line.length < 1e-3:
        return
    # A line along the very edge lies inside or not by a rounding, so a hair less and a hair more bound it.
    less, more = (line.intersection(outside(box).buffer(hair)).length for hair in (-1e-6, 1e-6))
    slack = 2e-3 if less < 0.01 else 4e-4
    assert less - slack <= box.share(Stroke(a, b)) * line.length <= more + slack


@quick
@given(boxes, points, st.floats(0.001, 0.2))
def test_a_disc_reaches_as_far_as_its_radius(box: Box, at: At, radius: float) -> None:
    assert box.distance(Stroke(at, at, radius)) == pytest.approx(max(0.0, box.beyond(at) - radius), abs=1e-9)


@quick
@given(boxes, points, points)
def test_the_deepest_point_of_a_line_lies_as_deep_as_an_outside_library_says(box: Box, a: At, b: At) -> None:
    stroke = Stroke(a, b)
    edge = outside(box).exterior
    deepest = max(
        (
            edge.distance(Point(at))
            for at in map(stroke.at, (n / 200 for n in range(201)))
            if box.beyond(at) < 0
        ),
        default=0.0,
    )
    assert deepest - ROUND <= box.depth(stroke) <= deepest + max(stroke.length_m / 200, ROUND)


@quick
@given(boxes, st.floats(-0.05, 0.05), points)
def test_a_patch_let_out_is_all_that_lies_so_near(box: Box, by: float, at: At) -> None:
    grown = box.grown(by)
    if grown is None:
        assert min(box.half_u_m, box.half_v_m) < -by
    elif abs(box.beyond(at) - by) > 1e-9 and by >= 0:
        assert (grown.beyond(at) < 0) == (box.beyond(at) < by)


@quick
@given(boxes, points)
def test_the_nearest_point_of_an_outline_lies_on_it(box: Box, at: At) -> None:
    if box.beyond(at) <= 1e-6:
        return
    near = box.nearest_point(at)
    assert box.beyond(near) == pytest.approx(0, abs=1e-9)
    assert math.dist(near, at) == pytest.approx(box.beyond(at), abs=1e-9)


stars = st.lists(st.floats(0.05, 0.4), min_size=5, max_size=14)


def star(reaches: list[float]) -> Polygon:
    """An outline with hollows that never crosses itself."""
    turns = [2 * math.pi * n / len(reaches) for n in range(len(reaches))]
    return Polygon(
        tuple(At(r * math.cos(turn), r * math.sin(turn)) for r, turn in zip(reaches, turns, strict=True))
    )


@quick
@given(stars, points, points)
def test_a_line_lies_in_a_panel_as_an_outside_library_says(reaches: list[float], a: At, b: At) -> None:
    panel, line = star(reaches), LineString([a, b])
    other = Outside(panel.corners)
    if line.length < 1e-3:
        return
    assert panel.distance(Stroke(a, b)) == pytest.approx(other.distance(line), abs=1e-9)
    inside = line.intersection(other).length
    assert panel.share(Stroke(a, b)) * line.length == pytest.approx(inside, abs=1e-9)
    sign = -1 if other.contains(Point(a)) else 1
    assert panel.beyond(a) == pytest.approx(sign * other.exterior.distance(Point(a)), abs=1e-9)


@quick
@given(points, points, points, points)
def test_two_lines_are_as_far_apart_as_an_outside_library_says(a: At, b: At, c: At, d: At) -> None:
    other = LineString([a, b]).distance(LineString([c, d]))
    assert line_to_line(a, b, c, d) == pytest.approx(other, abs=1e-9)
