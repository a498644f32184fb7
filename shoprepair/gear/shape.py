"""Outlines of the cloth: rear edge of the tube, trailing edge, struts, cells. Metres, as in `curve`."""

from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache

from shoprepair.gear.curve import Centreline, Point, centreline, height_at
from shoprepair.gear.planform import Planform

STRUT_GAP_M = 0.03
"""Between a strut's pointed end and the trailing edge."""
POINTED_SHARE = 0.93
"""A strut narrows to its point from this share of its length on."""
POINT_WIDTH = 0.2
"""Width of the point as a share of the strut's own."""
HEM_M = 0.035
"""How deep the hem of the trailing edge is."""
PANE_CLEAR_M = 0.07
"""Cloth between a strut and the clear window beside it."""
PANE_SHARE = 0.5
"""Width of a window over the width of its panel."""
PANE_INSET = 0.13
"""Cloth before and behind a window over the depth of its panel."""
FULLNESS = 2.15
"""A wing's trailing edge: a parabola would be 2."""
BASE_POWER = 3.4
"""A kite's strut ends lie on a line that bends toward the tip as this power."""
SCALLOP = {True: 0.05, False: 0.02}
"""Depth of the hollow between two struts of a kite, of a wing, as a share of their distance."""


@dataclass(frozen=True, slots=True)
class Pane:
    """A clear window: its range of x in m and of shares of the chord."""

    xs_m: tuple[float, float]
    fractions: tuple[float, float]

    def holds(self, x_m: float, fraction: float) -> bool:
        return self.xs_m[0] <= x_m <= self.xs_m[1] and self.fractions[0] <= fraction <= self.fractions[1]


@dataclass(frozen=True, slots=True)
class Shape:
    """The canopy and struts of a planform: the right half, mirrored."""

    planform: Planform
    line: Centreline
    reach: Point
    """Where the tube's rear edge ends; the canopy ends at this x."""
    rears_m: tuple[float, ...]
    """x of the tube's rear edge at even steps of t, growing outwards."""

    def rear_t(self, x_m: float) -> float:
        """Where along the centreline the tube's rear edge passes an x."""
        beyond, last = abs(x_m), len(self.rears_m) - 1
        after = min(max(bisect_right(self.rears_m, beyond), 1), last)
        t, width = (after - 1) / last, 1 / last
        # Between two steps the edge is nearly straight, so a few chords find the place to a nanometre.
        slope = (self.rears_m[after] - self.rears_m[after - 1]) / width
        for _ in range(4):
            t = min(max(t + (beyond - self.rear(t).x_m) / slope, 0.0), 1.0)
        return t

    def rear(self, t: float) -> Point:
        """A point of the tube's rear edge."""
        return self.line.beside(t, self.line.radius(t))

    def rear_y(self, x_m: float) -> float:
        """y in m of the tube's rear edge at an x within the canopy's reach."""
        return self.rear(self.rear_t(x_m)).y_m

    def trailing_y(self, x_m: float) -> float:
        """y in m of the trailing edge at an x within the canopy's reach."""
        x = min(abs(x_m), self.reach.x_m)
        return self._base_y(x / self.reach.x_m) - self._hollow(x)

    def _base_y(self, share: float) -> float:
        centre, tip = self.planform.chord_centre_m, self.planform.sweep_m + self.planform.chord_tip_m
        power = BASE_POWER if self.planform.is_kite else FULLNESS
        return float(centre + (tip - centre) * share**power)

    def _hollow(self, x: float) -> float:
        if len(self.planform.struts) < 2:
            return 0.0
        low, high = self._bay(x)
        share = (x - low) / (high - low)
        return SCALLOP[self.planform.is_kite] * (high - low) * 4 * share * (1 - share)

    def _bay(self, x: float) -> tuple[float, float]:
        ends = [*(self.strut_x(i) for i in range(len(self.planform.struts))), self.reach.x_m]
        if ends[0] > 0:
            ends.insert(0, -ends[0])
        after = min(max(bisect_right(ends, x), 1), len(ends) - 1)
        return ends[after - 1], ends[after]

    def chord_y(self, x_m: float, fraction: float) -> float:
        """y in m at a share of the chord, from the leading edge's centreline to the trailing edge."""
        front = height_at(self.planform, x_m)
        return front + fraction * (self.trailing_y(x_m) - front)

    def chord_fraction(self, x_m: float, y_m: float) -> float:
        front = height_at(self.planform, x_m)
        return (y_m - front) / (self.trailing_y(x_m) - front)

    def strut_x(self, index: int) -> float:
        """x in m of a strut, on the right."""
        return self.planform.struts[index].station * self.planform.half_span_m

    def strut_ends(self, index: int) -> tuple[float, float]:
        """y in m of a strut's mouth at the leading edge and of its pointed end."""
        return _strut_ends(self.planform, index)

    def strut_half_width(self, index: int, fraction: float) -> float:
        """Half the drawn width of a strut in m at a share of its length."""
        radius = self.planform.struts[index].tube.radius(fraction)
        past = max(0.0, (fraction - POINTED_SHARE) / (1 - POINTED_SHARE))
        return radius * (1 - past * (1 - POINT_WIDTH))

    def pane(self, cell: int, row: int) -> "Pane":
        """Where the clear part of a window panel lies, on the right half."""
        low, high = self.cells()[cell]
        beside = [
            self.strut_half_width(i, 0.2) for i in range(len(self.planform.struts)) if self.strut_x(i) == low
        ]
        start = low + sum(beside) + PANE_CLEAR_M
        shares = (0.0, *self.planform.canopy_seams, 1.0)
        rise = PANE_INSET * (shares[row + 1] - shares[row])
        return Pane(
            (start, min(start + PANE_SHARE * (high - low), high - PANE_CLEAR_M)),
            (shares[row] + rise, shares[row + 1] - rise),
        )

    def cells(self) -> tuple[tuple[float, float], ...]:
        """x ranges in m of the cells of one half, from the centre to the tip."""
        edges = [0.0, *(s.station * self.planform.half_span_m for s in self.planform.struts if s.station > 0)]
        return tuple(zip(edges, [*edges[1:], self.reach.x_m], strict=True))

    def cell_at(self, x_m: float) -> int:
        """Which cell of a half an x lies in, counted from the centre."""
        return next((i for i, (_, high) in enumerate(self.cells()) if abs(x_m) < high), len(self.cells()) - 1)


@lru_cache(maxsize=512)
def shape(planform: Planform) -> Shape:
    """The outlines of a planform."""
    line = centreline(planform)
    rears = (line.beside(i / 50, line.radius(i / 50)).x_m for i in range(51))
    return Shape(planform, line, line.beside(1.0, line.radius(1.0)), tuple(rears))


@lru_cache(maxsize=4096)
def _strut_ends(planform: Planform, index: int) -> tuple[float, float]:
    of = shape(planform)
    x = of.strut_x(index)
    return of.rear_y(x), of.trailing_y(x) - STRUT_GAP_M
