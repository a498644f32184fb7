"""A line with no more points than it takes to see the same line.

[Douglas, Peucker 1973, Cartographica 10(2) 112].
"""

from collections.abc import Sequence
from math import hypot

from shoprepair.gear.curve import Point


def fewer(points: Sequence[Point], within: float) -> list[Point]:
    """Some of the points, ends among them, so that none of the others lies farther than this from the line.

    `within` in the points' own unit.
    """
    if len(points) < 3:
        return list(points)
    first, last = points[0], points[-1]
    away = [_off(point, first, last) for point in points[1:-1]]
    farthest = max(away)
    if farthest <= within:
        return [first, last]
    at = 1 + away.index(farthest)
    return fewer(points[: at + 1], within)[:-1] + fewer(points[at:], within)


def _off(point: Point, first: Point, last: Point) -> float:
    """How far a point lies from the stretch between two others."""
    across, down = last.x_m - first.x_m, last.y_m - first.y_m
    square = across * across + down * down
    x, y = point.x_m - first.x_m, point.y_m - first.y_m
    share = min(max((x * across + y * down) / square, 0.0), 1.0) if square else 0.0
    return hypot(x - share * across, y - share * down)
