"""How far a damage reaches about its middle: the strokes that it may be, on the flat cloth."""

from math import cos, pi, radians, sin

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.flat import At, Stroke
from shoprepair.cover.seams import opened
from shoprepair.cover.unrolled import CANOPY, Spot, radius_m
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Direction, FindingKind
from shoprepair.pricing.proposals.asked import BURST_DIAMETERS

ALONG, AROUND = 0.0, pi / 2
IN_A_SEAM = (FindingKind.SEAM_OPENED, FindingKind.STITCHING)


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
