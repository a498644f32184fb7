"""Where a point of one planform lies on another: the same part, as far along it and as far across it.

For gear whose model is known only later, so that what was pinned on a likely drawing keeps its place.
"""

from collections.abc import Iterator
from functools import partial
from math import cos, hypot, pi, sin

from django.utils.translation import gettext

from shoprepair.gear.curve import Point
from shoprepair.gear.geometry import OffTheDrawing, Spot, resolve, row_at
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import Pane, Shape, shape
from shoprepair.gear.sites import Site, sites
from shoprepair.mechanics.description import Element

AROUND_M = 0.5
"""How far about a point its own part is looked for, where something else lies under it."""
_RING_M = 0.02
_ROUND = 16
_ON_SITES = frozenset({Element.HANDLE, Element.BRIDLE_POINT, Element.VALVE, Element.HOSE})


class NoSuchPart(ValueError):
    """The other planform has nothing of the kind, such as no strut at all."""


def carried(old: Planform, new: Planform, x_m: float, y_m: float) -> Spot:
    """What on `new` lies where x, y in metres lies on `old`; of a fitting it lacks, the tube beneath.

    Element and side are kept, and the station, the share along a strut and the share of a tube's width.
    Where the same element is not there at all, whatever lies at that place. Raises NoSuchPart with a
    sentence when a strut is wanted and there is none, OffTheDrawing when the point is on no part of `old`.
    """
    spot = resolve(old, x_m, y_m)
    like = _site_like(old, new, spot) if spot.place.element in _ON_SITES else None
    wanted = like or _point_like(shape(old), shape(new), spot)
    for point in _around(wanted):
        if (found := _at(new, point)) and _is_like(spot, found):
            return found
    return resolve(new, *wanted)


def _at(planform: Planform, point: Point) -> Spot | None:
    try:
        return resolve(planform, *point)
    except OffTheDrawing:
        return None


def _around(middle: Point) -> Iterator[Point]:
    """The point itself, then points about it, ring by ring."""
    yield middle
    for ring in range(1, round(AROUND_M / _RING_M) + 1):
        for part in range(_ROUND):
            angle, far = 2 * pi * part / _ROUND, ring * _RING_M
            yield Point(middle.x_m + far * cos(angle), middle.y_m + far * sin(angle))


def _is_like(spot: Spot, found: Spot) -> bool:
    """Whether it lies on the same kind of part and on the same side."""
    was, now = spot.place, found.place
    across = was.side != "centre" and now.side not in (was.side, "centre")
    on_strut = (was.strut is None) == (now.strut is None)
    return was.element == now.element and not across and on_strut


def _site_like(old: Planform, new: Planform, spot: Spot) -> Point | None:
    """The same fitting: of its element the nearest by shares of span and chord, on the same side."""
    others = [site for site in sites(new) if site.element == spot.place.element]
    nearer = [site for site in others if site.middle.x_m * spot.x_m >= 0] or others
    if not nearer:
        return None
    return _on_site(min(nearer, key=partial(_apart, old, new, spot)), old, spot)


def _apart(old: Planform, new: Planform, spot: Spot, site: Site) -> float:
    across = site.middle.x_m / new.half_span_m - spot.x_m / old.half_span_m
    along = site.middle.y_m / new.chord_centre_m - spot.y_m / old.chord_centre_m
    return hypot(across, along)


def _on_site(site: Site, old: Planform, spot: Spot) -> Point:
    """Its middle; along a bar, as far as on the old one."""
    was = next((one for one in sites(old) if one.region == spot.region), None)
    if site.bar_m is None or was is None or was.bar_m is None:
        return site.middle
    share = (spot.y_m - was.bar_m[0]) / (was.bar_m[1] - was.bar_m[0])
    low, high = site.bar_m
    return Point(site.middle.x_m, low + min(max(share, 0.0), 1.0) * (high - low))


def _point_like(old: Shape, new: Shape, spot: Spot) -> Point:
    """The point of the same place, its element aside."""
    if spot.place.strut is not None:
        right = _on_strut(old, new, spot)
    elif spot.cell is None:
        right = _on_leading_edge(old, new, spot)
    elif spot.place.element is Element.WINDOW and (pane := _pane_like(new, spot)):
        right = _in_pane(old, new, spot, pane)
    else:
        x = spot.place.station * new.planform.half_span_m
        inside = min(x, new.reach.x_m)
        right = Point(inside, new.chord_y(inside, min(spot.place.fraction, 1.0)))
    return right if spot.x_m >= 0 or spot.place.strut is not None else right.mirrored()


def _on_leading_edge(old: Shape, new: Shape, spot: Spot) -> Point:
    was, now = (of.line.t_at_station(spot.place.station) for of in (old, new))
    share = spot.offset_m / old.line.radius(was)
    return new.line.beside(now, min(max(share, -1.0), 1.0) * new.line.radius(now))


def _on_strut(old: Shape, new: Shape, spot: Spot) -> Point:
    index = _strut_like(old.planform, new.planform, spot.place.strut or 0)
    fraction = min(max(spot.place.fraction, 0.0), 1.0)
    width = old.strut_half_width(spot.place.strut or 0, fraction)
    share = min(max(spot.offset_m / width, -1.0), 1.0) if width else 0.0
    front, back = new.strut_ends(index)
    middle = new.strut_x(index) * (-1 if spot.x_m < 0 else 1)
    offset = share * new.strut_half_width(index, fraction)
    return Point(middle + offset, front + fraction * (back - front))


def _strut_like(old: Planform, new: Planform, index: int) -> int:
    """Index of the strut nearest by station; the centre strut is like no other where both have one."""
    was = old.struts[index]
    same = [i for i, strut in enumerate(new.struts) if strut.is_centre == was.is_centre]
    among = same or range(len(new.struts))
    if not among:
        raise NoSuchPart(gettext("%(name)s has no strut.") % {"name": new.name})
    return min(among, key=lambda i: abs(new.struts[i].station - was.station))


def _pane_like(new: Shape, spot: Spot) -> Pane | None:
    """The window that lies nearest by shares of span and chord; None where there is none."""
    panes = [new.pane(cell, row) for cell, row in new.planform.windows]
    half, at = new.planform.half_span_m, spot.place

    def apart(pane: Pane) -> float:
        return hypot(sum(pane.xs_m) / 2 / half - at.station, sum(pane.fractions) / 2 - at.fraction)

    return min(panes, key=apart, default=None)


def _in_pane(old: Shape, new: Shape, spot: Spot, pane: Pane) -> Point:
    """As far across and along it as in the old one."""
    was = old.pane(spot.cell or 0, row_at(old.planform, spot.place.fraction))
    across = _share(abs(spot.x_m), was.xs_m)
    along = _share(spot.place.fraction, was.fractions)
    x = pane.xs_m[0] + across * (pane.xs_m[1] - pane.xs_m[0])
    return Point(x, new.chord_y(x, pane.fractions[0] + along * (pane.fractions[1] - pane.fractions[0])))


def _share(value: float, between: tuple[float, float]) -> float:
    low, high = between
    return min(max((value - low) / (high - low), 0.0), 1.0)
