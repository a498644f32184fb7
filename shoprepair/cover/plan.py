"""Footprints and damages as the drawing shows them from above: what lies on top, and what lies beneath."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import groupby
from math import cos, hypot, pi, sin, sqrt
from typing import NamedTuple

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.flat import At, Polygon, Stroke
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.reach import placed, strokes
from shoprepair.cover.unrolled import (
    CANOPY,
    LEADING_EDGE,
    Spot,
    drawn,
    length_m,
    metres,
    radius_m,
    spot_at,
    strut_index,
)
from shoprepair.gear.curve import Point
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.gear.sites import Site, sites

ARC_STEPS = 6
STRAIGHT_STEPS = 8
PANEL_STEPS = 24
MOST_KEPT = 2048
"""Outlines of records, which never change, are kept for the next page."""


class Piece(NamedTuple):
    """One outline on the drawing. Hidden where the cloth faces down."""

    corners: tuple[At, ...]
    hidden: bool


@lru_cache(maxsize=MOST_KEPT)
def pieces(planform: Planform, footprint: Footprint) -> tuple[Piece, ...]:
    """The outlines that show a footprint on the drawing, in m; a patch over an edge of a tube makes two.

    None where the planform, being of another day, has no such strut, panel or fitting.
    """
    if not fits(planform, footprint):
        return ()
    if footprint.layer == "fitting":
        site = site_of(planform, footprint.region)
        return (Piece(_about(site.middle, footprint), False),) if site else ()
    if footprint.surface == CANOPY:
        if footprint.shape == "region":
            return (Piece(panel(planform, footprint.region).corners, False),)
        return (Piece(_about(drawn(planform, footprint.middle), footprint), False),)
    return tuple(_on_tube(planform, footprint))


def rim(planform: Planform, footprint: Footprint, narrower_m: float, out_m: float) -> tuple[At, ...]:
    """A line beside the edge of a tube, along a footprint that from above is seen edge-on.

    None where it is seen at least so wide. It runs so far outside the edge, in m.
    """
    on_tube = footprint.layer != "fitting" and footprint.surface != CANOPY and fits(planform, footprint)
    if not on_tube or footprint.shape in ("ring", "tube"):
        return ()
    radius = radius_m(planform, footprint.surface, footprint.along)
    half = min(footprint.half_around_m / radius, pi / 2)
    behind = cos(footprint.around) < 0
    turned = abs(footprint.around) if not behind else pi - abs(footprint.around)
    if turned >= half or radius * (1 - cos(turned + half)) >= narrower_m:
        return ()
    around = pi if behind else 0.0
    return tuple(_outside(planform, footprint, u, around, out_m) for u in steps(footprint))


def _outside(planform: Planform, footprint: Footprint, u_m: float, around: float, out_m: float) -> At:
    """A point outside the edge of a tube, at a distance along it from a footprint's middle."""
    spot = _along(planform, footprint, u_m)
    at, inner = drawn(planform, replace(spot, around=around)), drawn(planform, replace(spot, around=pi / 2))
    size = hypot(at.x_m - inner.x_m, at.y_m - inner.y_m)
    return At(
        at.x_m + out_m * (at.x_m - inner.x_m) / size,
        at.y_m + out_m * (at.y_m - inner.y_m) / size,
    )


def _along(planform: Planform, footprint: Footprint, u_m: float) -> Spot:
    """The spot of a footprint's tube at a distance along it from its middle, no farther than its end."""
    surface, along = footprint.surface, metres(planform, footprint.middle).u_m + u_m
    length = length_m(planform, surface)
    along = min(max(along, -length if surface == LEADING_EDGE else 0.0), length)
    return spot_at(planform, surface, At(along, 0.0), footprint.side)


def fits(planform: Planform, footprint: Footprint) -> bool:
    """Whether a planform has the strut or the panel that a footprint lies on."""
    if footprint.layer == "fitting":
        return site_of(planform, footprint.region) is not None
    if footprint.surface == CANOPY and footprint.region:
        _, _, cell, row = footprint.region.split("-")
        return int(cell) < len(shape(planform).cells()) and int(row) < planform.rows
    on_strut = footprint.surface not in (CANOPY, LEADING_EDGE)
    return not on_strut or strut_index(footprint.surface) < len(planform.struts)


def site_of(planform: Planform, region: str) -> Site | None:
    """The fitting of a region; None where the planform has none of that name."""
    return next((site for site in sites(planform) if site.region == region), None)


def panel(planform: Planform, region: str) -> Polygon:
    """A panel of the canopy, or its clear window, by its region: from the tube to the trailing edge."""
    of = shape(planform)
    kind, side, cell, row = region.split("-")
    shares = (0.0, *planform.canopy_seams, 1.0)
    (low, high), (fore, aft) = of.cells()[int(cell)], (shares[int(row)], shares[int(row) + 1])
    if kind == "window":
        (low, high), (fore, aft) = (of.pane(int(cell), int(row)).xs_m, of.pane(int(cell), int(row)).fractions)
    xs = [low + (high - low) * step / PANEL_STEPS for step in range(PANEL_STEPS + 1)]
    back = [At(x, max(of.chord_y(x, aft), of.rear_y(x))) for x in xs]
    front = [At(x, max(of.chord_y(x, fore), of.rear_y(x))) for x in xs]
    corners = (*front, *reversed(back))
    return Polygon(tuple(At(-at.u_m, at.v_m) for at in corners) if side == "left" else corners)


def half_width(footprint: Footprint, u_m: float) -> float:
    """Half the width of a footprint's outline around its tube, m, at a distance along it from its middle."""
    corner = min(footprint.corner_m, footprint.half_along_m, footprint.half_around_m)
    into = abs(u_m) - (footprint.half_along_m - corner)
    if into <= 0:
        return footprint.half_around_m
    return footprint.half_around_m - corner + sqrt(max(corner**2 - into**2, 0.0))


def steps(footprint: Footprint) -> tuple[float, ...]:
    """Distances along from the middle at which an outline is drawn: close together where it is round."""
    corner = min(footprint.corner_m, footprint.half_along_m, footprint.half_around_m)
    flat = footprint.half_along_m - corner
    straight = [flat * step / STRAIGHT_STEPS for step in range(STRAIGHT_STEPS + 1)]
    round_ = [flat + corner * sin(pi / 2 * step / ARC_STEPS) for step in range(1, ARC_STEPS + 1)]
    half = straight + (round_ if corner else [])
    return (*(-u for u in reversed(half[1:])), *half)


def damage_strokes(planform: Planform, damage: DamageView) -> tuple[Stroke, ...]:
    """A damage as the drawing shows it, in m: along its tube as the tube lies there, around it across."""
    spot = placed(planform, damage)[0]
    at, way = drawn(planform, spot), _way(planform, spot)
    lines = strokes(planform, damage, spot)
    return tuple(Stroke(_turned(at, way, line.a), _turned(at, way, line.b), line.radius_m) for line in lines)


def _turned(at: Point, way: At, by: At) -> At:
    return At(at.x_m + by.u_m * way.u_m - by.v_m * way.v_m, at.y_m + by.u_m * way.v_m + by.v_m * way.u_m)


def _way(planform: Planform, spot: Spot) -> At:
    """Which way along runs at a spot, on the drawing."""
    if spot.surface == CANOPY:
        return At(1.0, 0.0)
    if spot.surface != LEADING_EDGE:
        return At(0.0, 1.0)
    line = shape(planform).line
    slope = line.slope(line.t_at_arc(spot.along * line.length_m))
    size = hypot(*slope)
    return At(slope.x_m / size, slope.y_m / size * (-1 if spot.side == "left" else 1))


def _about(middle: Point, footprint: Footprint) -> tuple[At, ...]:
    """The outline about a point of the drawing, once around."""
    us = steps(footprint)
    rear = [At(middle.x_m + u, middle.y_m + half_width(footprint, u)) for u in us]
    front = [At(middle.x_m + u, middle.y_m - half_width(footprint, u)) for u in reversed(us)]
    return (*rear, *front)


def _on_tube(planform: Planform, footprint: Footprint) -> Iterator[Piece]:
    if footprint.shape in ("ring", "tube"):
        yield from _side_of_tube(planform, footprint, 0.0, hidden=False)
        return
    for turn in (-2 * pi, 0.0, 2 * pi):
        yield from _side_of_tube(planform, footprint, turn, hidden=False)
        yield from _side_of_tube(planform, footprint, turn - pi, hidden=True)


def _side_of_tube(planform: Planform, footprint: Footprint, low: float, *, hidden: bool) -> Iterator[Piece]:
    """The parts of a footprint on the half of a tube from an angle `low` to half a turn on."""
    rows = [_row(planform, footprint, u, low) for u in steps(footprint)]
    for shown, run in groupby(rows, key=lambda row: row is not None):
        found = [row for row in run if row]
        if shown and len(found) > 1:
            corners = (*(first for first, _ in found), *(last for _, last in reversed(found)))
            yield Piece(corners, hidden)


def _row(planform: Planform, footprint: Footprint, u_m: float, low: float) -> tuple[At, At] | None:
    """Both ends of a footprint around its tube at a distance along it, within half a turn from `low`."""
    spot = _along(planform, footprint, u_m)
    half = half_width(footprint, u_m) / radius_m(planform, spot.surface, spot.along)
    whole = footprint.shape in ("ring", "tube")
    first = low if whole else max(footprint.around - half, low)
    last = low + pi if whole else min(footprint.around + half, low + pi)
    if last - first < 1e-6:
        return None
    ends = (drawn(planform, replace(spot, around=angle)) for angle in (first, last))
    start, end = (At(*end) for end in ends)
    return start, end


__all__ = ["Piece", "damage_strokes", "half_width", "panel", "pieces", "site_of", "steps"]
