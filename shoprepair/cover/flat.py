"""Plane geometry of outlines and strokes, exact: no grid, no sampling. Lengths in m.

An outline lies about its own middle. A stroke is a damage: a line from end to end, or a disc.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import hypot, sqrt
from typing import NamedTuple, Protocol

ENDLESS_M = 20.0
"""Longer than any tube: the side of a ring that never ends."""
HALVINGS = 60


class At(NamedTuple):
    u_m: float
    v_m: float


class Stroke(NamedTuple):
    """A line from `a` to `b`, thickened by a radius; a disc where both are one point."""

    a: At
    b: At
    radius_m: float = 0.0

    @property
    def length_m(self) -> float:
        return hypot(self.b.u_m - self.a.u_m, self.b.v_m - self.a.v_m)

    def at(self, share: float) -> At:
        return At(
            self.a.u_m + share * (self.b.u_m - self.a.u_m),
            self.a.v_m + share * (self.b.v_m - self.a.v_m),
        )

    def moved(self, u_m: float, v_m: float) -> "Stroke":
        a, b = self.a, self.b
        return Stroke(At(a.u_m + u_m, a.v_m + v_m), At(b.u_m + u_m, b.v_m + v_m), self.radius_m)


class Area(Protocol):
    """What a damage can lie in."""

    def beyond(self, at: At) -> float:
        """Signed distance of a point from the outline, m: below 0 inside."""

    def distance(self, stroke: Stroke) -> float:
        """From the outline to the nearest of a stroke, m; 0 where it reaches in."""

    def share(self, stroke: Stroke) -> float:
        """How much of a stroke lies inside: of its length, of a disc its width."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with round corners about the origin; a disc or a bar with round ends is one too."""

    half_u_m: float
    half_v_m: float
    corner_m: float = 0.0

    @property
    def core(self) -> At:
        """Half sides of the rectangle within a corner's radius of which lies all of the box."""
        corner = self._corner
        return At(self.half_u_m - corner, self.half_v_m - corner)

    @property
    def _corner(self) -> float:
        return max(0.0, min(self.corner_m, self.half_u_m, self.half_v_m))

    def grown(self, by_m: float) -> "Box | None":
        """All within a distance of it; below 0 all that lies so far inside, None where nothing does."""
        if min(self.half_u_m, self.half_v_m) + by_m < 0:
            return None
        return Box(self.half_u_m + by_m, self.half_v_m + by_m, max(0.0, self._corner + by_m))

    def beyond(self, at: At) -> float:
        u, v = abs(at.u_m) - self.core.u_m, abs(at.v_m) - self.core.v_m
        return min(max(u, v), 0.0) + hypot(max(u, 0.0), max(v, 0.0)) - self._corner

    def distance(self, stroke: Stroke) -> float:
        if self.clip(stroke):
            return 0.0
        core = self.core
        near = min(_point_to_core(core, stroke.a), _point_to_core(core, stroke.b))
        corners = (At(u, v) for u in (-core.u_m, core.u_m) for v in (-core.v_m, core.v_m))
        near = min(near, *(point_to_line(corner, stroke.a, stroke.b) for corner in corners))
        return max(0.0, near - self._corner - stroke.radius_m)

    def clip(self, stroke: Stroke) -> tuple[float, float] | None:
        """Between which shares of its length a stroke's line lies inside; None where it stays out.

        The box is two rectangles and four discs; as all together are convex, the parts inside make one.
        """
        parts = [part for part in self._parts(stroke) if part]
        return (min(low for low, _ in parts), max(high for _, high in parts)) if parts else None

    def _parts(self, stroke: Stroke) -> Iterator[tuple[float, float] | None]:
        core, corner = self.core, self._corner
        yield _in_rectangle(stroke, self.half_u_m, core.v_m)
        yield _in_rectangle(stroke, core.u_m, self.half_v_m)
        if corner > 0:
            for u in (-core.u_m, core.u_m):
                for v in (-core.v_m, core.v_m):
                    yield _in_disc(stroke, At(u, v), corner)

    def share(self, stroke: Stroke) -> float:
        if stroke.length_m == 0:
            return _share_of_disc(self.beyond(stroke.a), stroke.radius_m)
        part = self.clip(stroke)
        return part[1] - part[0] if part else 0.0

    def depth(self, stroke: Stroke) -> float:
        """How far inside the outline the deepest point of a stroke lies, m; 0 where it stays out."""
        least = self.beyond(stroke.at(self.nearest_share(stroke)))
        return min(max(stroke.radius_m - least, 0.0), self.half_u_m, self.half_v_m)

    def nearest_share(self, stroke: Stroke) -> float:
        """At which share of its length a stroke lies deepest inside, or comes nearest.

        The distance beyond a convex outline is convex along a line, so that halving finds its least.
        """
        low, high = 0.0, 1.0
        for _ in range(HALVINGS):
            first, second = low + (high - low) / 3, high - (high - low) / 3
            if self.beyond(stroke.at(first)) <= self.beyond(stroke.at(second)):
                high = second
            else:
                low = first
        return min((0.0, (low + high) / 2, 1.0), key=lambda share: self.beyond(stroke.at(share)))

    def nearest_point(self, at: At) -> At:
        """The point of the outline nearest to one outside of it."""
        core = self.core
        u, v = min(max(at.u_m, -core.u_m), core.u_m), min(max(at.v_m, -core.v_m), core.v_m)
        away = hypot(at.u_m - u, at.v_m - v)
        if away == 0:
            return at
        share = self._corner / away
        return At(u + (at.u_m - u) * share, v + (at.v_m - v) * share)


@dataclass(frozen=True, slots=True)
class Polygon:
    """An outline of straight sides, of any shape that does not cross itself."""

    corners: tuple[At, ...]

    @property
    def sides(self) -> tuple[tuple[At, At], ...]:
        return tuple(zip(self.corners, (*self.corners[1:], self.corners[0]), strict=True))

    def holds(self, at: At) -> bool:
        """Whether a point lies inside: a ray from it crosses the sides an odd number of times."""
        crossed = False
        for a, b in self.sides:
            if (a.v_m > at.v_m) != (b.v_m > at.v_m):
                crossed ^= at.u_m < a.u_m + (at.v_m - a.v_m) / (b.v_m - a.v_m) * (b.u_m - a.u_m)
        return crossed

    def beyond(self, at: At) -> float:
        near = min(point_to_line(at, a, b) for a, b in self.sides)
        return -near if self.holds(at) else near

    def distance(self, stroke: Stroke) -> float:
        if self.holds(stroke.a):
            return 0.0
        near = min(line_to_line(stroke.a, stroke.b, a, b) for a, b in self.sides)
        return max(0.0, near - stroke.radius_m)

    def share(self, stroke: Stroke) -> float:
        if stroke.length_m == 0:
            return _share_of_disc(self.beyond(stroke.a), stroke.radius_m)
        return sum(high - low for low, high in self.inside(stroke))

    def inside(self, stroke: Stroke) -> Iterator[tuple[float, float]]:
        """Between which shares of its length a stroke's line lies inside, from side to side."""
        cuts = sorted({0.0, 1.0, *(cut for a, b in self.sides for cut in _crossing(stroke, a, b))})
        for low, high in pairwise(cuts):
            if self.holds(stroke.at((low + high) / 2)):
                yield low, high

    def depth(self, stroke: Stroke) -> float:
        """How far inside the outline the deeper of a stroke's ends or its middle lies, m."""
        return max(0.0, stroke.radius_m - min(self.beyond(stroke.at(share)) for share in (0.0, 0.5, 1.0)))


def point_to_line(at: At, a: At, b: At) -> float:
    """Distance of a point from the line between two others, m."""
    u, v = b.u_m - a.u_m, b.v_m - a.v_m
    size2 = u * u + v * v
    share = ((at.u_m - a.u_m) * u + (at.v_m - a.v_m) * v) / size2 if size2 else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(at.u_m - a.u_m - share * u, at.v_m - a.v_m - share * v)


def line_to_line(a: At, b: At, c: At, d: At) -> float:
    """Distance between two lines, each from end to end, m; 0 where they cross."""
    if _crosses(a, b, c, d):
        return 0.0
    return min(point_to_line(a, c, d), point_to_line(b, c, d), point_to_line(c, a, b), point_to_line(d, a, b))


def _crosses(a: At, b: At, c: At, d: At) -> bool:
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: At, b: At, c: At) -> float:
    return (b.u_m - a.u_m) * (c.v_m - a.v_m) - (b.v_m - a.v_m) * (c.u_m - a.u_m)


def _crossing(stroke: Stroke, c: At, d: At) -> tuple[float, ...]:
    """At which share of its length a stroke crosses a line; none where it passes by or runs along."""
    a, b = stroke.a, stroke.b
    along = At(b.u_m - a.u_m, b.v_m - a.v_m)
    side = At(d.u_m - c.u_m, d.v_m - c.v_m)
    across = along.u_m * side.v_m - along.v_m * side.u_m
    if across == 0:
        return ()
    share = ((c.u_m - a.u_m) * side.v_m - (c.v_m - a.v_m) * side.u_m) / across
    there = ((c.u_m - a.u_m) * along.v_m - (c.v_m - a.v_m) * along.u_m) / across
    return (share,) if 0 <= share <= 1 and 0 <= there <= 1 else ()


def _point_to_core(core: At, at: At) -> float:
    return hypot(max(abs(at.u_m) - core.u_m, 0.0), max(abs(at.v_m) - core.v_m, 0.0))


def _in_rectangle(stroke: Stroke, half_u: float, half_v: float) -> tuple[float, float] | None:
    """Clipping by the four sides in turn, after Liang and Barsky 1984."""
    low, high = 0.0, 1.0
    ways = (
        (stroke.a.u_m, stroke.b.u_m - stroke.a.u_m, half_u),
        (stroke.a.v_m, stroke.b.v_m - stroke.a.v_m, half_v),
    )
    for start, run, half in ways:
        if run == 0:
            if abs(start) > half:
                return None
            continue
        first, second = sorted(((-half - start) / run, (half - start) / run))
        low, high = max(low, first), min(high, second)
    return (low, high) if low <= high else None


def _in_disc(stroke: Stroke, middle: At, radius: float) -> tuple[float, float] | None:
    u, v = stroke.b.u_m - stroke.a.u_m, stroke.b.v_m - stroke.a.v_m
    from_u, from_v = stroke.a.u_m - middle.u_m, stroke.a.v_m - middle.v_m
    size2, lean = u * u + v * v, from_u * u + from_v * v
    rest = from_u**2 + from_v**2 - radius * radius
    if size2 == 0:
        return (0.0, 1.0) if rest <= 0 else None
    under = lean * lean - size2 * rest
    if under < 0:
        return None
    low, high = max((-lean - sqrt(under)) / size2, 0.0), min((-lean + sqrt(under)) / size2, 1.0)
    return (low, high) if low <= high else None


def _share_of_disc(beyond: float, radius: float) -> float:
    if radius == 0:
        return 1.0 if beyond <= 0 else 0.0
    return min(max((radius - beyond) / (2 * radius), 0.0), 1.0)


__all__ = ["ENDLESS_M", "Area", "At", "Box", "Polygon", "Stroke", "line_to_line", "point_to_line"]
