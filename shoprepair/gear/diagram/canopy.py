"""What is drawn on the canopy: seams, hem, clear windows, reinforcement where struts end."""

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.regions import Region
from shoprepair.gear.diagram.svg import at, element, group, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import SIDES
from shoprepair.gear.shape import HEM_M, Shape
from shoprepair.mechanics.description import Element

PATCH_SHARE = 0.05
"""Side of the reinforcement at a strut's rear end over the strut's length."""
GLINT_SHARE = 0.16


def seams(of: Shape, view: View) -> str:
    """Spanwise seams and the hem, dashed like stitching; the centre seam where no strut covers it."""
    lines = [
        polyline(points)
        for share in of.planform.canopy_seams
        for side in SIDES
        if len(points := outline.seam(of, share, side)) > 1
    ]
    if not (of.planform.struts and of.planform.struts[0].is_centre):
        lines.append(polyline([Point(0, of.rear_y(0)), Point(0, of.trailing_y(0))]))
    hems = [
        polyline([Point(p.x_m, p.y_m - HEM_M) for p in outline.trailing(of, side)][:-1]) for side in SIDES
    ]
    pen = view.pen_m
    return group(
        "seams",
        (
            element("path", d="".join(lines), class_="seam", stroke_dasharray=_dash(5, 3, pen)),
            element("path", d="".join(hems), class_="hem-line", stroke_dasharray=_dash(3, 2.2, pen)),
        ),
        fill="none",
        stroke="#8a8f8c",
        stroke_width=1.1 * pen,
    )


def _dash(on: float, off: float, pen_m: float) -> str:
    return f"{on * pen_m:.4f} {off * pen_m:.4f}"


def window_panes(of: Shape, windows: list[Region], view: View) -> str:
    """The clear part of each window panel, with the glint that says glass."""
    parts = [
        part for region in windows if region.element is Element.WINDOW for part in _pane(of, region, view)
    ]
    return group("windows", parts, fill="none", stroke="#5b7f88", stroke_width=view.pen_m)


def _pane(of: Shape, region: Region, view: View) -> tuple[str, str]:
    _, side, cell, row = region.id.split("-")
    inset = 9 * view.pen_m
    path = outline.inset_panel(of, int(cell), int(row), side, inset)
    size = GLINT_SHARE * of.planform.chord_centre_m * 0.5
    glints = "".join(
        polyline([Point(x - size / 2, region.y_m + size / 2), Point(x + size / 2, region.y_m - size / 2)])
        for x in (region.x_m - 0.4 * size, region.x_m + 0.1 * size)
    )
    return (
        element("path", d=path, class_="pane", fill="#e3edee"),
        element("path", d=glints, class_="glint", stroke_linecap="round"),
    )


def strut_patches(of: Shape, view: View) -> str:
    """The reinforcement of the canopy round each strut's rear end."""
    paths = [
        _patch(of, index, side)
        for index, strut in enumerate(of.planform.struts)
        for side in (("centre",) if strut.is_centre else SIDES)
    ]
    return group(
        "patches",
        (element("path", d="".join(paths), class_="patch"),),
        fill="#f6f0e2",
        stroke="#8a8f8c",
        stroke_width=view.pen_m,
    )


def _patch(of: Shape, index: int, side: str) -> str:
    front, back = of.strut_ends(index)
    size = PATCH_SHARE * (back - front) + of.strut_half_width(index, 0.9)
    sign = -1 if side == "left" else 1
    x = of.strut_x(index)
    foot = [Point(sign * u, of.trailing_y(u)) for u in (x - size, x - size / 2, x, x + size / 2, x + size)]
    top = Point(sign * x, back - 1.7 * size)
    return f"M{at(top)}L" + "L".join(at(p) for p in foot) + "Z"
