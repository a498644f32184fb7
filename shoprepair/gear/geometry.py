"""Place ↔ point: what lies under a pin, and where a place is on the drawing. Exact both ways to 1 mm.

x in m to the right of the centre, y in m toward the trailing edge from the leading edge's centreline there.
The drawing is seen from above with the leading edge at the top, so left is left for whoever holds the gear.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import hypot

from django.utils.translation import gettext

from shoprepair.gear.curve import Point, height_at
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import HEM_M, Shape, shape
from shoprepair.gear.sites import Site, sites, strut_near
from shoprepair.mechanics.description import Element, Place

NEAR_M = 0.06
"""A pin this far off the drawing still snaps to its edge."""
SLACK_M = 0.0005
CENTRE_M = 0.0005
"""Nearer to the middle than this a place is on neither side."""
ON_THE_TUBE = frozenset({Element.LEADING_EDGE, Element.BRIDLE_POINT, Element.VALVE, Element.HOSE})


class OffTheDrawing(ValueError):
    """A pin that lies on no part of the inflatable."""


@dataclass(frozen=True, slots=True)
class Spot:
    """What lies under a pin."""

    place: Place
    cell: int | None
    """Cell between struts, counted outwards from the centre, on a canopy or its hem."""
    offset_m: float
    """Across the tube: toward the trailing edge on a leading edge, to the right on a strut; else 0."""
    region: str
    """Id of the drawing's region."""
    x_m: float
    y_m: float


def resolve(planform: Planform, x_m: float, y_m: float) -> Spot:
    """What lies under a point of the drawing; up to 0.06 m off it, what lies at its nearest edge.

    On a tube the station is that of the nearest point of its centreline; elsewhere |x| over the half span.
    Raises OffTheDrawing with a sentence when the point is farther off than that.
    """
    if not (abs(x_m) < 50 and abs(y_m) < 50):
        raise OffTheDrawing(gettext("That point is not on the drawing. Tap a part of the inflatable."))
    of = shape(planform)
    if spot := _at(of, x_m, y_m):
        return spot
    edge = _nearest_edge(planform, x_m, y_m)
    off = hypot(edge.x_m - x_m, edge.y_m - y_m)
    if off > NEAR_M or not (spot := _at(of, edge.x_m, edge.y_m)):
        raise OffTheDrawing(
            gettext("That point is %(off)s m off the %(kind)s. Tap a part of the drawing.")
            % {"off": f"{off:.2f}", "kind": gettext(planform.kind)}
        )
    return spot


def point(planform: Planform, where: Spot | Place) -> Point:
    """The point of a spot, exact to 1 mm; of a bare place, on the middle of its tube."""
    place = where.place if isinstance(where, Spot) else where
    offset = where.offset_m if isinstance(where, Spot) else 0.0
    of, left = shape(planform), place.side == "left"
    if place.strut is not None:
        front, back = of.strut_ends(place.strut)
        x = of.strut_x(place.strut)
        return Point((-x if left else x) + offset, front + place.fraction * (back - front))
    if place.element in ON_THE_TUBE:
        right = of.line.beside(of.line.t_at_station(place.station), offset)
    else:
        x = place.station * planform.half_span_m
        right = Point(x, of.chord_y(x, place.fraction))
    return right.mirrored() if left else right


def _at(of: Shape, x: float, y: float) -> Spot | None:
    for site in sites(of.planform):
        if site.distance_m(x, y) <= 0 and (spot := _on_site(of, site, x, y)):
            return spot
    return _on_leading_edge(of, x, y) or _on_strut(of, x, y) or _on_canopy(of, x, y)


def _on_site(of: Shape, site: Site, x: float, y: float) -> Spot | None:
    spot = _on_leading_edge(of, x, y) or _on_strut(of, x, y) or _beside_strut(of, site, x, y)
    if spot is None:
        return None
    place = spot.place
    return Spot(
        Place(
            element=site.element,
            station=place.station,
            side=place.side,
            strut=place.strut,
            fraction=place.fraction,
        ),
        None,
        spot.offset_m,
        site.region,
        x,
        y,
    )


def _beside_strut(of: Shape, site: Site, x: float, y: float) -> Spot | None:
    """A hose passes beside its strut's mouth, over the canopy, and belongs to the strut."""
    if site.element != Element.HOSE or site.strut is None:
        return None
    front, back = of.strut_ends(site.strut)
    left = site.middle.x_m < 0 and of.strut_x(site.strut) > 0
    middle = -of.strut_x(site.strut) if left else of.strut_x(site.strut)
    place = Place(
        element=site.element,
        station=min(abs(x) / of.planform.half_span_m, 1.0),
        side="centre" if middle == 0 else _side(middle),
        strut=site.strut,
        fraction=max((y - front) / (back - front), 0.0),
    )
    return Spot(place, None, x - middle, site.region, x, y)


def _on_leading_edge(of: Shape, x: float, y: float) -> Spot | None:
    t, offset = of.line.foot(abs(x), y)
    on = of.line.beside(t, offset)
    past_the_end = hypot(on.x_m - abs(x), on.y_m - y)
    if past_the_end > SLACK_M or abs(offset) > of.line.radius(t) + SLACK_M:
        return None
    place = Place(element=Element.LEADING_EDGE, station=min(of.line.station(t), 1.0), side=_side(x))
    return Spot(place, None, offset, segment_region(of, t, x), x, y)


def segment_region(of: Shape, t: float, x: float) -> str:
    """Region of the cut segment of the leading edge at t."""
    share = of.line.arc(t) / of.line.length_m
    number = min(int(share * of.planform.segments), of.planform.segments - 1) + 1
    return f"edge-{'left' if x < 0 else 'right'}-{number}"


def _on_strut(of: Shape, x: float, y: float) -> Spot | None:
    for index in range(len(of.planform.struts)):
        front, back = of.strut_ends(index)
        middle = of.strut_x(index) * (-1 if x < 0 else 1)
        fraction = (y - front) / (back - front)
        if not -SLACK_M <= fraction <= 1 + SLACK_M:
            continue
        if abs(x - middle) <= of.strut_half_width(index, min(max(fraction, 0.0), 1.0)) + SLACK_M:
            side = "centre" if middle == 0 else _side(middle)
            place = Place(
                element=Element.STRUT,
                station=min(abs(x) / of.planform.half_span_m, 1.0),
                side=side,
                strut=index,
                fraction=fraction,
            )
            return Spot(place, None, x - middle, strut_region(index, side), x, y)
    return None


def strut_region(index: int, side: str) -> str:
    return f"strut-{side}-{index}"


def _on_canopy(of: Shape, x: float, y: float) -> Spot | None:
    if abs(x) > of.reach.x_m + SLACK_M:
        return None
    inside = min(abs(x), of.reach.x_m)
    edge = of.trailing_y(inside)
    # What lies behind the centreline and not on the tube lies behind the tube.
    if not height_at(of.planform, inside) <= y <= edge + SLACK_M:
        return None
    fraction = of.chord_fraction(inside, min(y, edge))
    cell, row = of.cell_at(inside), row_at(of.planform, fraction)
    side = "left" if x < 0 else "right"
    element, region = Element.CANOPY, f"panel-{side}-{cell}-{row}"
    if y > edge - HEM_M:
        element, region = Element.TRAILING_EDGE, f"hem-{side}-{cell}"
    elif (cell, row) in of.planform.windows and of.pane(cell, row).holds(inside, fraction):
        element, region = Element.WINDOW, f"window-{side}-{cell}-{row}"
    station = inside / of.planform.half_span_m
    place = Place(element=element, station=station, side=_side(x), fraction=fraction)
    return Spot(place, cell, 0.0, region, x, y)


def row_at(planform: Planform, fraction: float) -> int:
    """Which row of panels a share of the chord lies in, counted from the leading edge."""
    return sum(fraction > seam for seam in planform.canopy_seams)


def _side(x: float) -> str:
    if abs(x) < CENTRE_M:
        return "centre"
    return "left" if x < 0 else "right"


def _nearest_edge(planform: Planform, x: float, y: float) -> Point:
    outline = silhouette(planform)
    sides = zip(outline, (*outline[1:], outline[0]), strict=True)
    nearest = min(
        (_nearest_on(a, b, abs(x), y) for a, b in sides), key=lambda p: hypot(p.x_m - abs(x), p.y_m - y)
    )
    return nearest.mirrored() if x < 0 else nearest


def _nearest_on(a: Point, b: Point, x: float, y: float) -> Point:
    along = Point(b.x_m - a.x_m, b.y_m - a.y_m)
    size2 = along.x_m**2 + along.y_m**2
    share = ((x - a.x_m) * along.x_m + (y - a.y_m) * along.y_m) / size2 if size2 else 0.0
    share = min(max(share, 0.0), 1.0)
    return Point(a.x_m + share * along.x_m, a.y_m + share * along.y_m)


@lru_cache(maxsize=512)
def silhouette(planform: Planform, steps: int = 160) -> tuple[Point, ...]:
    """Outline of the right half from the front of the leading edge round the tip to the centre."""
    of = shape(planform)
    ts = [i / steps for i in range(steps + 1)]
    front = [of.line.beside(t, -of.line.radius(t)) for t in ts]
    xs = [of.reach.x_m * (1 - t) for t in ts]
    return (*front, of.reach, *(Point(x, of.trailing_y(x)) for x in xs))


def planform_area(planform: Planform) -> float:
    """Area in m² that the drawing encloses, tubes and canopy, both halves; chord lines taken as straight."""
    half = [Point(0.0, 0.0), *silhouette(planform)]
    doubled = sum(a.x_m * b.y_m - b.x_m * a.y_m for a, b in zip(half, (*half[1:], half[0]), strict=True))
    return abs(doubled)


__all__ = ["OffTheDrawing", "Point", "Spot", "planform_area", "point", "resolve", "silhouette", "strut_near"]
