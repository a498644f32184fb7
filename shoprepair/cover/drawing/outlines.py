"""Footprints on the sheet: outline, tone, hatching, and each row of stitches where it runs."""

from collections.abc import Iterator
from math import pi

from shoprepair.cover import plan
from shoprepair.cover.drawing import hatch
from shoprepair.cover.drawing.sheet import INK, Sheet
from shoprepair.cover.flat import At, Box, Polygon
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.unrolled import drawn
from shoprepair.gear.diagram.svg import element, group

SPACING = 9.0
"""Between two lines of hatching, in steps of the sheet."""
SPARSE = 3.0
"""So many times as far apart where a footprint is all of a tube."""
PEN = 2.4
TONE = {"fill": "#8f9894", "fill_opacity": "0.16", "stroke": "none"}
HATCH = {"fill": "none", "stroke": "#5c666b", "stroke_width": "1.1"}
OUTLINE = {"fill": "none", "stroke": INK, "stroke_width": str(PEN)}
ROW_GROUND = {"fill": "none", "stroke": "#fff", "stroke_width": "4"}
ROW = {"fill": "none", "stroke": INK, "stroke_width": "1.8", "stroke_dasharray": "6 3.5"}


def footprint(sheet: Sheet, of: Footprint, order: int) -> str:
    """One footprint: `order` among the others gives its hatching a lean of its own."""
    lean = hatch.LEANS[order % len(hatch.LEANS)]
    if of.shape == "region":
        parts = _panel(sheet, of, lean)
    elif of.shape in ("tube", "ring"):
        parts = _round_the_tube(sheet, of, lean)
    else:
        parts = _box(sheet, of, lean)
    return group(f"footprint is-{of.layer} lean-{order % len(hatch.LEANS)}", parts)


def corner(sheet: Sheet, of: Footprint) -> tuple[float, float, float, float]:
    """Left, top, right and foot of a footprint on the sheet, as far as it is seen."""
    at = sheet.spot(of.middle)
    along, around = of.half_along_m, of.half_around_m
    xs = sorted(sheet.x(u) for u in (at.u_m - along, at.u_m + along))
    ys = sorted(sheet.y(v) for v in (at.v_m - around, at.v_m + around))
    edge = (sheet.left, sheet.y(sheet.high.v_m if sheet.flipped else sheet.low.v_m))
    return (
        max(xs[0], edge[0]),
        max(ys[0], edge[1]),
        min(xs[1], sheet.left + sheet.wide),
        min(ys[1], edge[1] + sheet.tall),
    )


def _box(sheet: Sheet, of: Footprint, lean: float) -> Iterator[str]:
    at = sheet.spot(of.middle)
    box = Box(of.half_along_m, of.half_around_m, of.corner_m)
    yield _rounded(sheet, box, at, "footprint-tone", TONE)
    yield _hatched(sheet, hatch.in_box(box, at, SPACING / sheet.scale, lean))
    yield _rounded(sheet, box, at, "footprint-outline", OUTLINE)
    yield from _rows(sheet, of, box, at)


def _rows(sheet: Sheet, of: Footprint, box: Box, at: At) -> Iterator[str]:
    for row in of.rows_in_m:
        if of.shape in ("seam", "ring"):
            yield from _straight_rows(sheet, of, row, at)
        elif inner := box.grown(-row):
            yield _rounded(sheet, inner, at, "footprint-row-ground", ROW_GROUND)
            yield _rounded(sheet, inner, at, "footprint-row", ROW)


def _straight_rows(sheet: Sheet, of: Footprint, row: float, at: At) -> Iterator[str]:
    """A seam's row runs along its strip; a ring has one at either end."""
    along, around = of.half_along_m, of.half_around_m
    if of.shape == "ring":
        reaches = [(u, pi * sheet.radius(at.u_m + u)) for u in (-along + row, along - row)]
        lines = [(At(u, -reach), At(u, reach)) for u, reach in reaches]
    elif of.runs_along:
        lines = [(At(-along, row - around), At(along, row - around))]
    else:
        lines = [(At(row - along, -around), At(row - along, around))]
    for ends in lines:
        path = sheet.path(At(end.u_m + at.u_m, end.v_m + at.v_m) for end in ends)
        yield element("path", class_="footprint-row-ground", d=path, **ROW_GROUND)
        yield element("path", class_="footprint-row", d=path, **ROW)


def _panel(sheet: Sheet, of: Footprint, lean: float) -> Iterator[str]:
    middle = drawn(sheet.planform, sheet.middle)
    corners = plan.panel(sheet.planform, of.region).corners
    polygon = Polygon(tuple(At(at.u_m - middle.x_m, at.v_m - middle.y_m) for at in corners))
    path = sheet.path(polygon.corners, closed=True)
    yield element("path", class_="footprint-tone", d=path, **TONE)
    yield _hatched(sheet, hatch.in_polygon(polygon, SPACING / sheet.scale, lean))
    yield element("path", class_="footprint-outline", d=path, **OUTLINE)


def _round_the_tube(sheet: Sheet, of: Footprint, lean: float) -> Iterator[str]:
    """A ring from edge to edge of the cut-open tube; all of a tube's film hatched wide, with no outline."""
    us = _steps(sheet, of)
    sides = [[At(u, side * pi * sheet.radius(u)) for u in us] for side in (-1, 1)]
    cloth = Polygon((*sides[0], *reversed(sides[1])))
    apart = SPARSE if of.shape == "tube" else 1.0
    if of.shape == "ring":
        yield element("path", class_="footprint-tone", d=sheet.path(cloth.corners, closed=True), **TONE)
    yield _hatched(sheet, hatch.in_polygon(cloth, apart * SPACING / sheet.scale, lean))
    if of.shape == "ring":
        for first, last in ((sides[0][n], sides[1][n]) for n in (0, -1)):
            yield element("path", class_="footprint-outline", d=sheet.path((first, last)), **OUTLINE)
        box = Box(of.half_along_m, pi * sheet.radius(0.0))
        yield from _rows(sheet, of, box, sheet.spot(of.middle))


def _steps(sheet: Sheet, of: Footprint) -> list[float]:
    """Even steps along the cloth that a ring, or all of a tube, covers in the window."""
    first, last = sheet.ends
    low, high = max(sheet.low.u_m, first), min(sheet.high.u_m, last)
    if of.shape == "ring":
        at = sheet.spot(of.middle)
        low, high = max(at.u_m - of.half_along_m, first), min(at.u_m + of.half_along_m, last)
    return [low + (high - low) * step / 8 for step in range(9)]


def _hatched(sheet: Sheet, lines: Iterator[tuple[At, At]]) -> str:
    path = "".join(sheet.path(ends) for ends in lines)
    return element("path", class_="footprint-hatch", d=path, **HATCH) if path else ""


def _rounded(sheet: Sheet, box: Box, at: At, class_: str, look: dict[str, str]) -> str:
    x, y = sheet.x(at.u_m - box.half_u_m), min(sheet.y(at.v_m - box.half_v_m), sheet.y(at.v_m + box.half_v_m))
    return element(
        "rect",
        class_=class_,
        x=round(x, 1),
        y=round(y, 1),
        width=round(2 * box.half_u_m * sheet.scale, 1),
        height=round(2 * box.half_v_m * sheet.scale, 1),
        rx=round(min(box.corner_m, box.half_u_m, box.half_v_m) * sheet.scale, 1),
        **look,
    )
