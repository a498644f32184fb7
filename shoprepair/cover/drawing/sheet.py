"""The sheet that a rolled-out stretch of cloth is drawn on: which part of it, how large, which way up."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import pi

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.flat import At, Stroke
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.reach import placed, strokes
from shoprepair.cover.unrolled import CANOPY, LEADING_EDGE, Spot, length_m, metres, radius_m, seen_from
from shoprepair.gear.diagram.svg import number
from shoprepair.gear.planform import Planform

WIDE = 400
"""The sheet, in its own steps of about a pixel."""
GUTTER = 108
"""Room beside the cloth for the names of a tube's faces."""
TOP, RIGHT = 6, 6
LEAST_TALL, MOST_TALL = 170, 290
FOOT = 52
WORDS = 21
INK = "#15252b"
ROOM = 0.2
"""Cloth shown about everything, over its size."""
LEAST_M = 0.2
FAR_M = 0.45
"""A damage farther off than this is pointed at, not shown."""
POINTING = 0.45
"""Cloth shown beside the footprints for the arrow that points at it, over their size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A window on the cloth, in m about a middle."""

    planform: Planform
    middle: Spot
    low: At
    high: At
    flipped: bool
    """Whether around runs upwards: on a strut on the right, so that left stays left from above."""

    @property
    def on_canopy(self) -> bool:
        return self.middle.surface == CANOPY

    @property
    def left(self) -> float:
        return RIGHT if self.on_canopy else GUTTER

    @property
    def wide(self) -> float:
        return WIDE - RIGHT - self.left

    @property
    def scale(self) -> float:
        """Steps per metre."""
        return self.wide / (self.high.u_m - self.low.u_m)

    @property
    def tall(self) -> float:
        return (self.high.v_m - self.low.v_m) * self.scale

    @property
    def whole_tall(self) -> float:
        return TOP + self.tall + FOOT

    def x(self, u_m: float) -> float:
        return self.left + (u_m - self.low.u_m) * self.scale

    def y(self, v_m: float) -> float:
        return TOP + (self.high.v_m - v_m if self.flipped else v_m - self.low.v_m) * self.scale

    def point(self, at: At) -> tuple[float, float]:
        return self.x(at.u_m), self.y(at.v_m)

    def path(self, points: Iterable[At], *, closed: bool = False) -> str:
        written = "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in map(self.point, points))
        return f"M{written}{'Z' if closed else ''}"

    def spot(self, spot: Spot) -> At:
        """Where a spot lies in the window, the nearest way round."""
        return seen_from(self.planform, self.middle, spot)[0]

    def radius(self, u_m: float) -> float:
        """Of the tube at a distance along it from the window's middle, m."""
        surface, along = self.middle.surface, metres(self.planform, self.middle).u_m + u_m
        return radius_m(self.planform, surface, abs(along) / length_m(self.planform, surface))

    @property
    def ends(self) -> tuple[float, float]:
        """Where the tube itself ends, m along from the middle."""
        here, length = (
            metres(self.planform, self.middle).u_m,
            length_m(self.planform, self.middle.surface),
        )
        first = -length if self.middle.surface == LEADING_EDGE else 0.0
        return first - here, length - here

    def at_angle(self, angle: float, u_m: float) -> Iterator[At]:
        """The points of the window at an angle of the tube, m along from the middle."""
        for turn in (-2 * pi, 0.0, 2 * pi):
            yield At(u_m, self.radius(u_m) * (angle - self.middle.around + turn))


def sheet_for(planform: Planform, footprints: Sequence[Footprint], damage: DamageView | None) -> Sheet:
    """The window that shows every footprint of one surface, and the damage where it is near.

    What is all of a tube asks for no window of its own: then the damage does.
    """
    bounded = [each for each in footprints if each.shape != "tube"]
    middle = _middle(planform, bounded or footprints, damage)
    low, high = _around([_bounds(planform, middle, each) for each in bounded] or [(At(0, 0), At(0, 0))])
    lines = shown_strokes(planform, middle, damage) if damage else ()
    near = [ends for ends in map(_bounds_of, lines) if _gap(low, high, *ends) <= FAR_M]
    low, high = _around([(low, high), *near])
    if lines and not near:
        low, high = _toward(low, high, lines[0].at(0.5))
    low, high = _roomy(low, high)
    flipped = middle.surface.startswith("strut-") and middle.side != "left"
    return Sheet(planform=planform, middle=middle, low=low, high=high, flipped=flipped)


def _middle(planform: Planform, footprints: Sequence[Footprint], damage: DamageView | None) -> Spot:
    first = footprints[0]
    if first.shape == "tube" and damage:
        spot = placed(planform, damage)[0]
        return spot if spot.surface == first.surface else first.middle
    return first.middle


def _around(boxes: Sequence[tuple[At, At]]) -> tuple[At, At]:
    """What holds them all."""
    return (
        At(min(low.u_m for low, _ in boxes), min(low.v_m for low, _ in boxes)),
        At(max(high.u_m for _, high in boxes), max(high.v_m for _, high in boxes)),
    )


def _toward(low: At, high: At, at: At) -> tuple[At, At]:
    """Let out on the side where something lies."""
    room = POINTING * max(high.u_m - low.u_m, LEAST_M)
    if at.u_m > high.u_m:
        return low, At(high.u_m + room, high.v_m)
    return (At(low.u_m - room, low.v_m) if at.u_m < low.u_m else low), high


def shown_strokes(planform: Planform, middle: Spot, damage: DamageView) -> tuple[Stroke, ...]:
    """Every line that a damage may be, in the window about a middle; none where it lies on another part."""
    found = placed(planform, damage)
    if found[0].surface != middle.surface:
        return ()
    return tuple(
        line.moved(*seen_from(planform, middle, spot)[0])
        for spot in found
        for line in strokes(planform, damage, spot)
    )


def _bounds(planform: Planform, middle: Spot, footprint: Footprint) -> tuple[At, At]:
    at = seen_from(planform, middle, footprint.middle)[0]
    along, around = footprint.half_along_m, footprint.half_around_m
    return At(at.u_m - along, at.v_m - around), At(at.u_m + along, at.v_m + around)


def _bounds_of(line: Stroke) -> tuple[At, At]:
    us, vs = (line.a.u_m, line.b.u_m), (line.a.v_m, line.b.v_m)
    r = line.radius_m
    return At(min(us) - r, min(vs) - r), At(max(us) + r, max(vs) + r)


def _gap(low: At, high: At, first: At, last: At) -> float:
    u = max(first.u_m - high.u_m, low.u_m - last.u_m, 0.0)
    v = max(first.v_m - high.v_m, low.v_m - last.v_m, 0.0)
    return max(u, v)


def _roomy(low: At, high: At) -> tuple[At, At]:
    """Let out on every side, and shaped so that it is neither flat nor tall on the sheet."""
    across = WIDE - RIGHT - GUTTER
    wide = max((high.u_m - low.u_m) * (1 + 2 * ROOM), LEAST_M)
    tall = max((high.v_m - low.v_m) * (1 + 2 * ROOM), wide * LEAST_TALL / across)
    wide = max(wide, tall * across / MOST_TALL)
    u, v = (low.u_m + high.u_m) / 2, (low.v_m + high.v_m) / 2
    return At(u - wide / 2, v - tall / 2), At(u + wide / 2, v + tall / 2)
