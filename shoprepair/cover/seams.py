"""The maker's own seams on a planform, and which of them lies nearest to a place."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, hypot

from django.utils.translation import gettext

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.unrolled import (
    BACK,
    CANOPY,
    LEADING_EDGE,
    OTHER_SIDE,
    Spot,
    drawn,
    length_m,
    metres,
    radius_m,
    strut_index,
    wrapped,
)
from shoprepair.gear.curve import centreline
from shoprepair.gear.geometry import NEAR_M
from shoprepair.gear.planform import SIDES, Planform
from shoprepair.gear.shape import HEM_M, POINTED_SHARE, shape
from shoprepair.gear.words import strut_name
from shoprepair.mechanics.description import FindingKind
from shoprepair.pricing.proposals.remedies import JOINT_SHARE
from shoprepair.shop.languages import kept_by_language

MOST_KEPT = 512
"""One damage is laid beside many covers in turn."""
STRUT_CLOSING = acos(0.5)
"""Angle of a strut's closing seam from the flank toward the centre, as it is drawn, above or beneath."""


@dataclass(frozen=True, slots=True)
class Seam:
    """A seam of the maker's beside a place."""

    kind: str
    """segment, closing, joint, end, panel, hem, edge or strut."""
    name: str
    distance_m: float
    runs: str
    """along or around the tube; on a canopy along the span or the chord."""
    along: float
    around: float
    """Where it comes nearest, as a spot keeps it."""


@kept_by_language(MOST_KEPT)
def nearest(planform: Planform, spot: Spot) -> Seam:
    """The maker's seam that lies nearest to a spot of the cloth."""
    return min(seams_beside(planform, spot), key=lambda seam: seam.distance_m)


def seams_beside(planform: Planform, spot: Spot) -> Iterator[Seam]:
    """Every seam of the surface that a spot lies on, with its distance from there, in m."""
    if spot.surface == CANOPY:
        yield from _canopy(planform, spot)
    elif spot.surface == LEADING_EDGE:
        yield from _leading_edge(planform, spot)
    else:
        yield from _strut(planform, spot)


def opened(planform: Planform, damage: DamageView, spot: Spot) -> Seam | None:
    """The maker's seam that a damage says has opened, where the pin came within a finger's width of one.

    On a leading edge that is the closing seam at its back, and else one between two segments; on a strut that
    lost its stitching, its joint or its end.
    """
    if damage.kind == FindingKind.STITCHING and spot.surface.startswith("strut-"):
        wanted = "joint" if spot.along < JOINT_SHARE else "end"
        return next(seam for seam in seams_beside(planform, spot) if seam.kind == wanted)
    if damage.kind != FindingKind.SEAM_OPENED:
        return None
    found = [seam for seam in seams_beside(planform, spot) if seam.kind != "joint"]
    near = min(found, key=lambda seam: seam.distance_m)
    return near if near.distance_m < NEAR_M else None


def segment_shares(planform: Planform) -> tuple[float, ...]:
    """Shares of a half leading edge's length at which one cut segment is sewn to the next."""
    return tuple(number / planform.segments for number in range(planform.segments))


def joints(planform: Planform) -> Iterator[tuple[str, Spot, float]]:
    """Each strut's joint on the back of the leading edge: its name, its middle, its radius in m."""
    line = centreline(planform)
    for index, strut in enumerate(planform.struts):
        along = line.arc(line.t_at_station(strut.station)) / line.length_m
        for side in ("centre",) if strut.is_centre else SIDES:
            name = gettext("the joint of the %(planform)s") % {"planform": strut_name(planform, index, side)}
            yield (
                name,
                Spot(surface=LEADING_EDGE, side=side, along=along, around=BACK),
                strut.tube.radius(0.0),
            )


def _leading_edge(planform: Planform, spot: Spot) -> Iterator[Seam]:
    length, radius = length_m(planform, LEADING_EDGE), radius_m(planform, LEADING_EDGE, spot.along)
    share = min(segment_shares(planform), key=lambda share: abs(share - spot.along))
    off = abs(share - spot.along) * length
    yield Seam("segment", gettext("the seam between two segments"), off, "around", share, spot.around)
    off = radius * abs(wrapped(spot.around - BACK))
    yield Seam("closing", gettext("the closing seam"), off, "along", spot.along, BACK)
    for name, joint, of_strut in joints(planform):
        along = metres(planform, spot).u_m - metres(planform, joint).u_m
        off = abs(hypot(along, radius * wrapped(spot.around - BACK)) - of_strut)
        yield Seam("joint", name, off, "around", joint.along, BACK)


def _strut(planform: Planform, spot: Spot) -> Iterator[Seam]:
    length, radius = length_m(planform, spot.surface), radius_m(planform, spot.surface, spot.along)
    name = strut_name(planform, strut_index(spot.surface), spot.side)
    yield Seam(
        "joint",
        gettext("the joint of the %(name)s") % {"name": name},
        spot.along * length,
        "around",
        0.0,
        spot.around,
    )
    off = abs(spot.along - POINTED_SHARE) * length
    yield Seam(
        "end",
        gettext("the seam at the end of the %(name)s") % {"name": name},
        off,
        "around",
        POINTED_SHARE,
        spot.around,
    )
    closing = min((STRUT_CLOSING, -STRUT_CLOSING), key=lambda angle: abs(wrapped(spot.around - angle)))
    off = radius * abs(wrapped(spot.around - closing))
    yield Seam("closing", gettext("the closing seam"), off, "along", spot.along, closing)


def _canopy(planform: Planform, spot: Spot) -> Iterator[Seam]:
    of, at = shape(planform), drawn(planform, spot)
    x, y = abs(at.x_m), at.y_m
    for share in planform.canopy_seams:
        yield Seam(
            "panel",
            gettext("the seam between two panels"),
            abs(of.chord_y(x, share) - y),
            "along",
            spot.along,
            share,
        )
    hem = of.trailing_y(x) - HEM_M
    yield Seam("hem", gettext("the hem"), abs(hem - y), "along", spot.along, of.chord_fraction(x, hem))
    rear = of.rear_y(min(x, of.reach.x_m))
    yield Seam(
        "edge",
        gettext("the seam on the leading edge"),
        abs(y - rear),
        "along",
        spot.along,
        of.chord_fraction(x, rear),
    )
    for index, strut in enumerate(planform.struts):
        side = "centre" if strut.is_centre else spot.side if spot.side in OTHER_SIDE else "right"
        name = gettext("the seam on the %(planform)s") % {"planform": strut_name(planform, index, side)}
        yield Seam("strut", name, abs(of.strut_x(index) - x), "around", strut.station, spot.around)
