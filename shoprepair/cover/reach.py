"""How far a damage reaches about its middle: the strokes that it may be, on the flat cloth."""

from dataclasses import replace
from functools import lru_cache
from math import cos, pi, radians, sin

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.flat import At, Stroke
from shoprepair.cover.seams import MOST_KEPT, opened
from shoprepair.cover.unrolled import CANOPY, Spot, drawn, radius_m, spots
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.mechanics.description import Direction, FindingKind
from shoprepair.pricing.proposals.asked import BURST_DIAMETERS

ALONG, AROUND = 0.0, pi / 2
IN_A_SEAM = (FindingKind.SEAM_OPENED, FindingKind.STITCHING)


@lru_cache(maxsize=MOST_KEPT)
def placed(planform: Planform, damage: DamageView) -> tuple[Spot, ...]:
    """Where the middle of a damage may lie on the cloth.

    A seam that opened lies where the seam is, not beside it. What was pinned at the trailing edge runs
    inwards from there: none of it lies off the cloth.
    """
    return tuple(
        _on_the_cloth(planform, damage, _snapped(planform, damage, spot)) for spot in spots(planform, damage)
    )


def _snapped(planform: Planform, damage: DamageView, spot: Spot) -> Spot:
    seam = opened(planform, damage, spot)
    return spot if seam is None else replace(spot, along=seam.along, around=seam.around)


def _on_the_cloth(planform: Planform, damage: DamageView, spot: Spot) -> Spot:
    if spot.surface != CANOPY:
        return spot
    _, deep = extent(planform, damage, spot)
    of, at = shape(planform), drawn(planform, spot)
    room = of.trailing_y(at.x_m) - at.y_m
    if deep / 2 <= room:
        return spot
    moved = max(of.chord_fraction(abs(at.x_m), at.y_m + room - deep / 2), 0.0)
    return replace(spot, around=moved)


def strokes(planform: Planform, damage: DamageView, spot: Spot) -> tuple[Stroke, ...]:
    """The lines that a damage may be, in m about its own middle; a disc where nobody said how it runs.

    Two lines where what was said leaves two ways: an angle leans to either side, a seam that opened runs
    along or around. A burst runs along its tube; one that nobody measured is two diameters long, as pricing
    takes it. What has no length yet is a point.
    """
    length = _length(planform, damage, spot)
    ways = _ways(planform, damage, spot)
    if not ways:
        return (Stroke(At(0.0, 0.0), At(0.0, 0.0), length / 2),)
    return tuple(_line(length / 2, way) for way in ways)


def extent(planform: Planform, damage: DamageView, spot: Spot) -> tuple[float, float]:
    """How far a damage reaches along and around in all, m."""
    lines = strokes(planform, damage, spot)
    along = max(2 * (abs(line.b.u_m) + line.radius_m) for line in lines)
    around = max(2 * (abs(line.b.v_m) + line.radius_m) for line in lines)
    return along, around


def _length(planform: Planform, damage: DamageView, spot: Spot) -> float:
    if damage.length_m is not None:
        return damage.length_m
    if damage.kind == FindingKind.BURST and spot.surface != CANOPY:
        return 2 * BURST_DIAMETERS * radius_m(planform, spot.surface, spot.along)
    return 0.0


def _ways(planform: Planform, damage: DamageView, spot: Spot) -> tuple[float, ...]:
    if damage.kind == FindingKind.BURST:
        return (ALONG,)
    if damage.kind in IN_A_SEAM:
        seam = opened(planform, damage, spot)
        return (ALONG, AROUND) if seam is None else (ALONG if seam.runs == "along" else AROUND,)
    if damage.direction is Direction.ANGLE and damage.angle_deg is not None:
        lean = radians(damage.angle_deg)
        return (lean,) if lean in (ALONG, AROUND) else (lean, -lean)
    return _SAID.get(damage.direction, ())


_SAID = {Direction.ALONG: (ALONG,), Direction.AROUND: (AROUND,)}


def _line(half: float, way: float) -> Stroke:
    # A cosine of a right angle is not quite nought: a line across must not lean.
    u, v = (half if way == ALONG else 0.0 if way == AROUND else half * cos(way)), half * sin(way)
    return Stroke(At(-u, -v), At(u, v))
