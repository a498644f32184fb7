"""A line is drawn with no more points than it takes to see the same line."""

from itertools import pairwise
from math import hypot

from hypothesis import given
from hypothesis import strategies as st

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.fewer import fewer

places = st.floats(-5, 5, allow_nan=False).map(lambda value: round(value, 3))
lines = st.lists(st.builds(Point, places, places), min_size=1, max_size=30)


def off(point: Point, kept: list[Point]) -> float:
    """The nearest of very many points along the line that was kept."""
    return min(
        hypot(
            point.x_m - (one.x_m + share / 50 * (other.x_m - one.x_m)),
            point.y_m - (one.y_m + share / 50 * (other.y_m - one.y_m)),
        )
        for one, other in zip(kept, kept[1:] or kept, strict=False)
        for share in range(51)
    )


@given(lines, st.floats(0.01, 2))
def test_no_point_lies_farther_off_than_is_said(line: list[Point], within: float) -> None:
    kept = fewer(line, within)
    longest = max((hypot(b.x_m - a.x_m, b.y_m - a.y_m) for a, b in pairwise(kept)), default=0)
    # The line is felt for in steps, so half a step of it may be missed.
    assert all(off(point, kept) <= within + longest / 100 + 1e-9 for point in line)


@given(lines, st.floats(0.01, 2))
def test_what_is_kept_stood_there_in_this_order_from_end_to_end(line: list[Point], within: float) -> None:
    kept, left = fewer(line, within), iter(line)
    assert (kept[0], kept[-1]) == (line[0], line[-1])
    assert all(point in left for point in kept)


def test_a_straight_line_takes_two_points() -> None:
    assert len(fewer([Point(i / 10, i / 5) for i in range(11)], 1e-9)) == 2


def test_a_closed_line_keeps_its_corners() -> None:
    corners = [Point(0, 0), Point(1, 0), Point(1, 1), Point(0, 1), Point(0, 0)]
    assert fewer(corners, 0.1) == corners
