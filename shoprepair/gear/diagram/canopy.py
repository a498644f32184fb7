"""What is drawn on the canopy: seams, hem, clear windows, reinforcement where struts end."""

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.diagram.regions import Region
from shoprepair.gear.diagram.struts import drawn_struts
from shoprepair.gear.diagram.svg import at, dashes, element, group, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import SIDES
from shoprepair.gear.shape import Shape

PATCH_SHARE = 0.05
"""Side of the reinforcement at a strut's rear end over the strut's length."""
GLINT_SHARE = 0.14
SEAM_PENS = 1.8
"""Between a spanwise seam's middle and each of its two rows."""
HEM_ROW_PENS = 3.2
FRAME_PENS = 4.0
PATCH_ROW_PENS = 3.0
SOFT = "#8a8f8c"
WORDS_PENS, WORDS_WIDE, WORDS_LOW_PENS = 31.0, 0.6, 12.0
"""Height of the words for the sides, a letter's width over that, and how far above the foot they stand."""


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
    return axis + side_words(of, view, sides)


def side_words(of: Shape, view: View, sides: tuple[str, str]) -> str:
    """Which side is left and which is right, in these words."""
    pen = view.pen_m
    low = view.y_m + view.height_m - WORDS_LOW_PENS * pen
    inside = of.planform.half_span_m - 8 * pen
    words = "".join(
        element("text", word, x=x, y=low, text_anchor=anchor, font_size=WORDS_PENS * pen)
        for x, word, anchor in zip((-inside, inside), sides, ("start", "end"), strict=True)
    )
    return group("side-words", [words], fill="#42525a")


def rooms_of_words(of: Shape, view: View, sides: tuple[str, str]) -> tuple[Box, Box]:
    """Where the words for the sides stand, for tags to keep off them."""
    pen, inside = view.pen_m, of.planform.half_span_m - 8 * view.pen_m
    foot = view.y_m + view.height_m - (WORDS_LOW_PENS - 6) * pen
    top = foot - (WORDS_PENS + 6) * pen
    left, right = (WORDS_WIDE * WORDS_PENS * len(word) * pen for word in sides)
    return Box(-inside, top, left - inside, foot), Box(inside - right, top, inside, foot)


def seams(of: Shape, view: View) -> str:
    """Spanwise seams as two rows of stitches, and the hem: where it is folded to, and its row."""
    pen = view.pen_m
    dash = dashes(4.5, 2.5, pen)
    folds = "".join(outline.hem_line(of, side) for side in SIDES)
    sewn = "".join(outline.hem_line(of, side, HEM_ROW_PENS * pen) for side in SIDES)
    return group(
        "seams",
        (
            element("path", d=_seam_row(of, -SEAM_PENS * pen), class_="seam", stroke_dasharray=dash),
            element("path", d=_seam_row(of, SEAM_PENS * pen), class_="seam twin", stroke_dasharray=dash),
            element("path", d=folds, class_="hem-fold"),
            element("path", d=sewn, class_="hem-line", stroke_dasharray=dashes(3, 2.2, pen)),
        ),
        fill="none",
        stroke=SOFT,
        stroke_width=0.8 * pen,
    )


def _seam_row(of: Shape, aside_m: float) -> str:
    """One row of every spanwise seam; of the centre seam too where no strut covers it."""
    lines = [outline.seam(of, share, side, aside_m) for share in of.planform.canopy_seams for side in SIDES]
    if not (of.planform.struts and of.planform.struts[0].is_centre):
        lines.append(polyline([Point(aside_m, of.rear_y(0)), Point(aside_m, of.trailing_y(0))]))
    return "".join(lines)


def window_frames(of: Shape, view: View) -> str:
    """The row of stitches round each window, in the cloth that holds it."""
    beyond = FRAME_PENS * view.pen_m
    frames = "".join(
        outline.pane(of, cell, row, side, beyond) for side in SIDES for cell, row in of.planform.windows
    )
    if not frames:
        return ""
    return element(
        "path",
        d=frames,
        class_="seam twin",
        fill="none",
        stroke=SOFT,
        stroke_width=0.8 * view.pen_m,
        stroke_dasharray=dashes(3, 2.2, view.pen_m),
    )


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


def patches(of: Shape, view: View) -> str:
    """The reinforcement of the canopy round each strut's rear end and at its corners, sewn down all round."""
    pen = view.pen_m
    whole, rows = (_all_patches(of, inside) for inside in (0.0, PATCH_ROW_PENS * pen))
    return group(
        "patches",
        (
            element("path", d=whole, class_="patch"),
            element("path", d=rows, class_="stitches", fill="none", stroke_dasharray=dashes(2.4, 2, pen)),
        ),
        fill="#f6f0e2",
        stroke=SOFT,
        stroke_width=0.8 * pen,
    )


def _all_patches(of: Shape, inside_m: float) -> str:
    at_struts = (_patch(of, index, side, inside_m) for index, side in drawn_struts(of))
    return "".join((*at_struts, *(outline.corner(of, side, inside_m) for side in SIDES)))


def _patch(of: Shape, index: int, side: str, inside_m: float) -> str:
    """A patch from the trailing edge to a point on the strut, its flanks hollow; or the row so far inside."""
    front, back = of.strut_ends(index)
    size = PATCH_SHARE * (back - front) + of.strut_half_width(index, 0.9)
    wide = size - inside_m
    sign = -1 if side == "left" else 1
    x, top = of.strut_x(index), back - 1.9 * size + 1.9 * inside_m
    low, middle, high = (Point(sign * u, of.trailing_y(u) - 0.4 * inside_m) for u in (x - wide, x, x + wide))
    hollow = top + 0.62 * (middle.y_m - top)
    flanks = [Point(sign * (x + out * 0.42 * wide), hollow) for out in (-1, 1)]
    return (
        f"M{at(Point(sign * x, top))}Q{at(flanks[0])} {at(low)}L{at(middle)}L{at(high)}"
        f"Q{at(flanks[1])} {at(Point(sign * x, top))}Z"
    )
