"""The tubes of a planform rolled out flat: from a place in shares to metres on its cloth, and back.

A tube is laid out by u along it and v = radius × angle around it; v ends where it began, once around. Lengths
along and around are true everywhere. A tube that tapers rolls out to a fan, which this lays straight: within
the size of a patch no point lies more than a few millimetres from where the fan would have it, which is less
than a finger's width on the drawing. The canopy is taken as drawn.
"""

from dataclasses import dataclass, replace
from math import acos, copysign, cos, pi

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.flat import At
from shoprepair.gear.curve import Point, centreline
from shoprepair.gear.geometry import ON_THE_TUBE
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.mechanics.description import Face, FindingKind, Place
from shoprepair.pricing.tubes import LEADING_EDGE

CANOPY = "canopy"
FRONT, TOP, BACK = 0.0, pi / 2, pi
QUARTER = pi / 4
"""A face is the quarter of the tube about its middle: so far to either side."""
OTHER_SIDE = {"left": "right", "right": "left"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Spot:
    """A point of the cloth in shares, as a footprint keeps its middle."""

    surface: str
    side: str
    along: float
    """Share of the half leading edge's length, of the strut's; on a canopy the station."""
    around: float
    """Angle in rad, 0 at the front (on a strut toward the centre), top positive; on a canopy chord share."""

    @property
    def mirrored(self) -> "Spot | None":
        """The same place on the other side; None for a part that has no twin."""
        if self.side not in OTHER_SIDE:
            return None
        side = OTHER_SIDE[self.side]
        return replace(self, side=side, surface=self.surface.replace(self.side, side))


def surface_of(place: Place) -> str:
    """The tube, or the canopy, that a place lies on. A fitting lies on the tube that carries it."""
    if place.strut is not None:
        return f"strut-{place.side}-{place.strut}"
    return LEADING_EDGE if place.element in ON_THE_TUBE else CANOPY


def spots(planform: Planform, damage: DamageView) -> tuple[Spot, ...]:
    """Where a damage may lie on the cloth: in two places where it could be above or beneath.

    A strut that the planform did not have yet is laid out on the canopy, where it lies on the drawing.
    """
    place, surface = damage.place, surface_of(damage.place)
    if place.strut is not None and place.strut >= len(planform.struts):
        surface = CANOPY
    if surface == CANOPY:
        return (Spot(surface=surface, side=place.side, along=place.station, around=place.fraction),)
    if place.strut is not None:
        along = min(max(place.fraction, 0.0), 1.0)
    else:
        line = centreline(planform)
        along = line.arc(line.t_at_station(place.station)) / line.length_m
    return tuple(
        Spot(surface=surface, side=place.side, along=along, around=angle) for angle in angles(damage)
    )


def angles(damage: DamageView) -> tuple[float, ...]:
    """The angles around its tube, in rad, at which a damage may lie.

    A point of the drawing is one above and one beneath; the face says which. What is said to be in front or
    at the back, but was pinned in the middle of the drawn tube, lies in the middle of that face.
    """
    place, face = damage.place, damage.place.face
    outward = -damage.across if place.strut is not None and place.side == "left" else damage.across
    above = acos(min(max(-outward, -1.0), 1.0))
    if face is Face.TOP:
        return (above,)
    if face is Face.UNDERSIDE:
        return (-above,)
    # A strut has no front: what is called so there says nothing of above and beneath.
    if face in (Face.FRONT, Face.BACK) and place.strut is None:
        middle = FRONT if face is Face.FRONT else BACK
        if abs(above - middle) > QUARTER or _in_the_closing_seam(damage):
            return (middle,)
    return (above, -above) if 0 < above < pi else (above,)


def _in_the_closing_seam(damage: DamageView) -> bool:
    return damage.place.face is Face.BACK and damage.kind == FindingKind.SEAM_OPENED


def length_m(planform: Planform, surface: str) -> float:
    """Of one half leading edge, or of a strut."""
    if surface == LEADING_EDGE:
        return centreline(planform).length_m
    front, back = shape(planform).strut_ends(strut_index(surface))
    return back - front


def radius_m(planform: Planform, surface: str, along: float) -> float:
    """Of a tube at a share of its length."""
    share = min(max(along, 0.0), 1.0)
    if surface == LEADING_EDGE:
        return planform.leading_edge.radius(share)
    return shape(planform).strut_half_width(strut_index(surface), share)


def girth_m(planform: Planform, surface: str, along: float) -> float:
    """Once around a tube."""
    return 2 * pi * radius_m(planform, surface, along)


def strut_index(surface: str) -> int:
    return int(surface.rsplit("-", 1)[1])


def metres(planform: Planform, spot: Spot) -> At:
    """A spot in m: along its tube (from the centre to the right, from the leading edge) and around it, from
    the front over the top; on the canopy as on the drawing."""
    if spot.surface == CANOPY:
        return At(*drawn(planform, spot))
    u = spot.along * length_m(planform, spot.surface)
    v = spot.around * radius_m(planform, spot.surface, spot.along)
    return At(-u if spot.surface == LEADING_EDGE and spot.side == "left" else u, v)


def spot_at(planform: Planform, surface: str, at: At, side: str = "centre") -> Spot:
    """The spot at a point in m of a rolled-out tube: `metres` backwards. `side` is a strut's own."""
    along = abs(at.u_m) / length_m(planform, surface)
    if surface == LEADING_EDGE:
        side = "centre" if at.u_m == 0 else "left" if at.u_m < 0 else "right"
    return Spot(
        surface=surface,
        side=side,
        along=along,
        around=wrapped(at.v_m / radius_m(planform, surface, along)),
    )


def wrapped(angle: float) -> float:
    """The same angle from −π, left out, to π."""
    turned = (angle + pi) % (2 * pi) - pi
    return pi if turned == -pi else turned


def seen_from(planform: Planform, middle: Spot, spot: Spot) -> tuple[At, ...]:
    """Where a spot lies about a footprint's middle on the same surface, in m: the nearest way first, and once
    around the tube to either side, where a patch may reach it too."""
    here, there = metres(planform, middle), metres(planform, spot)
    if spot.surface == CANOPY:
        return (At(there.u_m - here.u_m, there.v_m - here.v_m),)
    radius = radius_m(planform, spot.surface, spot.along)
    v, once = radius * wrapped(spot.around - middle.around), 2 * pi * radius
    return tuple(At(there.u_m - here.u_m, v + turn) for turn in (0.0, -copysign(once, v), copysign(once, v)))


def drawn(planform: Planform, spot: Spot) -> Point:
    """The point of the drawing, seen from above, that shows a spot."""
    of, left = shape(planform), spot.side == "left"
    if spot.surface == CANOPY:
        x = spot.along * planform.half_span_m
        right = Point(x, of.chord_y(x, spot.around))
    elif spot.surface == LEADING_EDGE:
        t = of.line.t_at_arc(spot.along * of.line.length_m)
        right = of.line.beside(t, -cos(spot.around) * of.line.radius(t))
    else:
        index = strut_index(spot.surface)
        front, back = of.strut_ends(index)
        aside = -cos(spot.around) * radius_m(planform, spot.surface, spot.along)
        right = Point(of.strut_x(index) + aside, front + spot.along * (back - front))
    return right.mirrored() if left else right


__all__ = [
    "CANOPY",
    "LEADING_EDGE",
    "Spot",
    "angles",
    "drawn",
    "girth_m",
    "length_m",
    "metres",
    "radius_m",
    "seen_from",
    "spot_at",
    "spots",
    "surface_of",
    "wrapped",
]
