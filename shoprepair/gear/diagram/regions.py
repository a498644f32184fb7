"""The regions of the drawing: what a finger, a key or a screen reader can reach, each with its own name."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from django.utils.translation import gettext

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.neighbours import neighbours
from shoprepair.gear.diagram.svg import polyline
from shoprepair.gear.geometry import OffTheDrawing, resolve
from shoprepair.gear.planform import SIDES, Planform
from shoprepair.gear.shape import HEM_M, Shape, shape
from shoprepair.gear.sites import HANDLE_TOUCH_M, TOUCH_M, Site, sites
from shoprepair.gear.words import cell_name, ordinal, row_name, site_name, strut_name
from shoprepair.mechanics.description import Element
from shoprepair.shop.languages import begun_large, kept_by_language

ROUND = "M{left} {y}a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0 -{d} 0Z"
SHARES = (0.5, 0.38, 0.62, 0.26, 0.74, 0.14, 0.86, 0.06, 0.94)


@dataclass(frozen=True, slots=True)
class Region:
    """One labelled part of the drawing."""

    id: str
    label: str
    x_m: float
    y_m: float
    """A point that lies on it, near its middle."""
    element: Element
    neighbours: Mapping[str, str] = field(default_factory=dict)
    """left, right, up, down → id of the region that the arrow key leads to."""
    outline: str = ""
    """SVG path data in metres."""


@kept_by_language(256)
def regions(planform: Planform) -> tuple[Region, ...]:
    """Every region of a planform, the leading edge first, each reachable from each by arrow keys."""
    of = shape(planform)
    found = (*_segments(of), *_struts(of), *_panels(of), *_windows(of), *_hems(of), *_sites(of))
    links = neighbours({region.id: Point(region.x_m, region.y_m) for region in found})
    return tuple(replace(region, neighbours=links[region.id]) for region in found)


def _segments(of: Shape) -> Iterator[Region]:
    ts = outline.segment_ts(of)
    for side in SIDES:
        for number in range(1, of.planform.segments + 1):
            low, high = ts[number - 1], ts[number]
            tries = (
                _beside(of, low + share * (high - low), across, side)
                for share in SHARES
                for across in (0.0, -0.5, 0.5)
            )
            name = gettext("Leading edge %(side)s, %(number)s segment from the centre") % {
                "side": gettext(side),
                "number": ordinal(number),
            }
            path = outline.segment(of, number, side)
            yield from _region(of, f"edge-{side}-{number}", name, Element.LEADING_EDGE, tries, path)


def _beside(of: Shape, t: float, across: float, side: str) -> Point:
    right = of.line.beside(t, across * of.line.radius(t))
    return right.mirrored() if side == "left" else right


def _struts(of: Shape) -> Iterator[Region]:
    for index, strut in enumerate(of.planform.struts):
        front, back = of.strut_ends(index)
        for side in ("centre",) if strut.is_centre else SIDES:
            x = -of.strut_x(index) if side == "left" else of.strut_x(index)
            tries = (Point(x, front + share * (back - front)) for share in SHARES)
            name = begun_large(strut_name(of.planform, index, side))
            path = outline.strut(of, index, side)
            yield from _region(of, f"strut-{side}-{index}", name, Element.STRUT, tries, path)


def _panels(of: Shape) -> Iterator[Region]:
    planform = of.planform
    for side in SIDES:
        for cell in range(len(of.cells())):
            for row in range(planform.rows):
                name = f"{cell_name(planform, cell, side)}, {row_name(planform, row)}"
                path, tries = outline.panel(of, cell, row, side), _within(of, cell, row, side)
                id = f"panel-{side}-{cell}-{row}"
                yield from _region(
                    of, id, gettext("Canopy %(name)s") % {"name": name}, Element.CANOPY, tries, path
                )


def _windows(of: Shape) -> Iterator[Region]:
    for side in SIDES:
        for cell, row in of.planform.windows:
            (low, high), (fore, aft) = of.pane(cell, row).xs_m, of.pane(cell, row).fractions
            x = (low + high) / 2
            middle = Point(-x if side == "left" else x, of.chord_y(x, (fore + aft) / 2))
            name = gettext("Window %(planform)s, %(planform_2)s") % {
                "planform": cell_name(of.planform, cell, side),
                "planform_2": row_name(of.planform, row),
            }
            path = outline.pane(of, cell, row, side)
            yield from _region(of, f"window-{side}-{cell}-{row}", name, Element.WINDOW, [middle], path)


def _within(of: Shape, cell: int, row: int, side: str) -> Iterator[Point]:
    low, high = of.cells()[cell]
    shares = (0.0, *of.planform.canopy_seams, 1.0)
    for across in SHARES:
        x = low + across * (high - low)
        fore = max(of.chord_y(x, shares[row]), of.rear_y(x))
        aft = min(of.chord_y(x, shares[row + 1]), of.trailing_y(x) - HEM_M)
        for share in (0.5, 0.25, 0.75):
            yield Point(-x if side == "left" else x, fore + share * (aft - fore))


def _hems(of: Shape) -> Iterator[Region]:
    for side in SIDES:
        for cell, (low, high) in enumerate(of.cells()):
            xs = [low + share * (high - low) for share in SHARES]
            tries = [Point(-x if side == "left" else x, of.trailing_y(x) - HEM_M / 2) for x in xs]
            name = gettext("Trailing edge %(planform)s") % {"planform": cell_name(of.planform, cell, side)}
            path = outline.hem(of, cell, side)
            yield from _region(of, f"hem-{side}-{cell}", name, Element.TRAILING_EDGE, tries, path)


def _sites(of: Shape) -> Iterator[Region]:
    for site in sites(of.planform):
        name = site_name(of.planform, site)
        yield from _region(of, site.region, name, site.element, [site.middle], site_outline(site))


def site_outline(site: Site) -> str:
    """The room that a finger gets at a fitting."""
    x, y = site.middle
    if site.bar_m is None:
        return ROUND.format(left=round(x - TOUCH_M, 3), y=round(y, 3), r=TOUCH_M, d=2 * TOUCH_M)
    (low, high), half = site.bar_m, HANDLE_TOUCH_M
    corners = [Point(x - half, low), Point(x + half, low), Point(x + half, high), Point(x - half, high)]
    return polyline(corners, closed=True)


def _region(
    of: Shape, id: str, label: str, element: Element, tries: Iterable[Point], path: str
) -> Iterator[Region]:
    """The region with the first of the points that really lies on it; none where other parts cover it."""
    for on in tries:
        if _lies_on(of.planform, id, on):
            yield Region(id, label, round(on.x_m, 4), round(on.y_m, 4), element, {}, path)
            return


def _lies_on(planform: Planform, id: str, on: Point) -> bool:
    try:
        return resolve(planform, on.x_m, on.y_m).region == id
    except OffTheDrawing:
        return False
