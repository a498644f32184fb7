"""What is drawn on the canopy: seams, hem, clear windows, reinforcement where struts end."""

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.regions import Region
from shoprepair.gear.diagram.svg import at, element, group, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import SIDES
from shoprepair.gear.shape import Shape

PATCH_SHARE = 0.05
"""Side of the reinforcement at a strut's rear end over the strut's length."""
GLINT_SHARE = 0.14
WORDS_PENS = 24.0


def marks(of: Shape, view: View, sides: tuple[str, str]) -> str:
    """The centre line beyond the cloth, and which side is left and which is right, in these words."""
    pen = view.pen_m
    top, foot = -of.line.radius(0.0), of.trailing_y(0.0)
    line = polyline([Point(0, top - 26 * pen), Point(0, top)]) + polyline(
        [Point(0, foot), Point(0, foot + 26 * pen)]
    )
    axis = element(
        "path",
        d=line,
        class_="axis",
        fill="none",
        stroke="#8a8f8c",
        stroke_width=pen,
        stroke_dasharray=f"{9 * pen:.4f} {3 * pen:.4f} {2 * pen:.4f} {3 * pen:.4f}",
    )
    low = view.y_m + view.height_m - 12 * pen
    left, right = sides
    ends = ((view.x_m + 8 * pen, left, "start"), (view.x_m + view.width_m - 8 * pen, right, "end"))
    words = "".join(
        element("text", word, x=x, y=low, text_anchor=anchor, font_size=WORDS_PENS * pen)
        for x, word, anchor in ends
    )
    return axis + group("side-words", [words], fill="#42525a")


def seams(of: Shape, view: View) -> str:
    """Spanwise seams and the hem, dashed like stitching; the centre seam where no strut covers it."""
    lines = [outline.seam(of, share, side) for share in of.planform.canopy_seams for side in SIDES]
    if not (of.planform.struts and of.planform.struts[0].is_centre):
        lines.append(polyline([Point(0, of.rear_y(0)), Point(0, of.trailing_y(0))]))
    hems = [outline.hem_line(of, side) for side in SIDES]
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


def glints(of: Shape, windows: list[Region], view: View) -> str:
    """The two strokes on each window that say glass."""
    paths = "".join(_glint(of, region) for region in windows)
    if not paths:
        return ""
    return element(
        "path",
        d=paths,
        class_="glint",
        fill="none",
        stroke="#5b7f88",
        stroke_width=1.4 * view.pen_m,
        stroke_linecap="round",
    )


def _glint(of: Shape, region: Region) -> str:
    _, _, cell, row = region.id.split("-")
    low, high = of.pane(int(cell), int(row)).fractions
    size = GLINT_SHARE * (high - low) * of.planform.chord_centre_m
    return "".join(
        polyline([Point(x - size, region.y_m + size), Point(x + size, region.y_m - size)])
        for x in (region.x_m - 0.5 * size, region.x_m + 0.5 * size)
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
