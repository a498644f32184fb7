"""The centreline of a leading edge: one half, mirrored. In metres, x outwards, y toward the trailing edge."""

from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import asin, cos, hypot, pi, sin
from typing import NamedTuple

from shoprepair.gear.planform import Planform

WING_POWER = 1.9
"""A wing's leading edge is swept back as this power of the station."""
KITE_POWER = 1.22
"""1 would be an ellipse; more keeps the centre flatter and the shoulder rounder, the tip stays vertical."""
STEPS = 200
STRIDE = 5


class Point(NamedTuple):
    x_m: float
    y_m: float

    def mirrored(self) -> "Point":
        return Point(-self.x_m, self.y_m)


@dataclass(frozen=True, slots=True)
class Centreline:
    """The right half of a leading edge, run through by t from 0 at the centre to 1 at the tip."""

    planform: Planform
    arcs_m: tuple[float, ...]
    """Length of the curve up to each of STEPS + 1 even values of t."""
    points: tuple[Point, ...]
    """The curve at every STRIDE-th of them."""

    @property
    def length_m(self) -> float:
        return self.arcs_m[-1]

    def at(self, t: float) -> Point:
        return _at(self.planform, t)

    def slope(self, t: float) -> Point:
        return _slope(self.planform, t)

    def arc(self, t: float) -> float:
        """Length in m from the centre to t."""
        whole = min(int(t * STEPS), STEPS - 1)
        low, high = self.arcs_m[whole], self.arcs_m[whole + 1]
        return low + (t * STEPS - whole) * (high - low)

    def t_at_arc(self, arc_m: float) -> float:
        """Where along t a length from the centre is reached."""
        whole = min(max(bisect_right(self.arcs_m, arc_m) - 1, 0), STEPS - 1)
        low, high = self.arcs_m[whole], self.arcs_m[whole + 1]
        return min(max((whole + (arc_m - low) / (high - low)) / STEPS, 0.0), 1.0)

    def t_at_station(self, station: float) -> float:
        u = min(max(station, 0.0), 1.0)
        return asin(u) / (pi / 2) if self.planform.is_kite else u

    def station(self, t: float) -> float:
        return self.at(t).x_m / self.planform.half_span_m

    def radius(self, t: float) -> float:
        """Radius of the tube in m; it tapers linearly along its length."""
        return self.planform.leading_edge.radius(self.arc(t) / self.length_m)

    def beside(self, t: float, offset_m: float) -> Point:
        """The point `offset_m` from the centreline, square to it; positive toward the trailing edge."""
        on, slope = self.at(t), self.slope(t)
        size = hypot(*slope)
        return Point(on.x_m - offset_m * slope.y_m / size, on.y_m + offset_m * slope.x_m / size)

    def foot(self, x_m: float, y_m: float) -> tuple[float, float]:
        """t of the nearest point of the centreline and the offset from it, for x ≥ 0."""
        last = len(self.points) - 1
        nearest = min(range(last + 1), key=lambda i: _distance2(self.points[i], x_m, y_m))
        low, high = max(nearest - 1, 0) / last, min(nearest + 1, last) / last
        for _ in range(44):
            middle = (low + high) / 2
            low, high = (middle, high) if self._ahead(middle, x_m, y_m) > 0 else (low, middle)
        t = (low + high) / 2
        return t, self._across(t, x_m, y_m)

    def _ahead(self, t: float, x_m: float, y_m: float) -> float:
        on, slope = self.at(t), self.slope(t)
        return (x_m - on.x_m) * slope.x_m + (y_m - on.y_m) * slope.y_m

    def _across(self, t: float, x_m: float, y_m: float) -> float:
        on, slope = self.at(t), self.slope(t)
        return ((y_m - on.y_m) * slope.x_m - (x_m - on.x_m) * slope.y_m) / hypot(*slope)


@lru_cache(maxsize=512)
def centreline(planform: Planform) -> Centreline:
    """The leading edge's centreline with its lengths measured."""
    points = [_at(planform, i / STEPS) for i in range(STEPS + 1)]
    arcs = [0.0]
    for before, after in pairwise(points):
        arcs.append(arcs[-1] + hypot(after.x_m - before.x_m, after.y_m - before.y_m))
    return Centreline(planform, tuple(arcs), tuple(points[::STRIDE]))


def height_at(planform: Planform, x_m: float) -> float:
    """y in m of the centreline above an x."""
    line = centreline(planform)
    return line.at(line.t_at_station(abs(x_m) / planform.half_span_m)).y_m


def _at(planform: Planform, t: float) -> Point:
    half, sweep = planform.half_span_m, planform.sweep_m
    if planform.is_kite:
        angle = t * pi / 2
        return Point(half * sin(angle), sweep * (1 - cos(angle)) ** KITE_POWER)
    return Point(half * t, sweep * t**WING_POWER)


def _slope(planform: Planform, t: float) -> Point:
    half, sweep = planform.half_span_m, planform.sweep_m
    if planform.is_kite:
        angle = t * pi / 2
        rise = KITE_POWER * (1 - cos(angle)) ** (KITE_POWER - 1) * sin(angle)
        return Point(half * cos(angle), sweep * rise)
    return Point(half, sweep * WING_POWER * t ** (WING_POWER - 1))


def _distance2(point: Point, x_m: float, y_m: float) -> float:
    return (point.x_m - x_m) ** 2 + (point.y_m - y_m) ** 2
