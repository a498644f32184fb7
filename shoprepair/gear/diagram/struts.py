"""What is drawn on the struts: the collar that sews them to the leading edge, closing seams, pointed ends."""

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.svg import at, dashes, element, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import SIDES
from shoprepair.gear.shape import POINTED_SHARE, Shape

ROW_PENS = 2.8
"""Between a seam and the row of stitches beside it."""
TWIN_PENS = 1.3
"""Between a closing seam's middle and each of its two rows."""
SEAM_SHARE = 0.5
"""The closing seam of a strut runs on its inner side, at this share of its half width."""
CUFF_BOW = 0.75
"""How far the collar's edge bows over half the strut's width: it is cut round; so is the pointed end's."""


def drawn_struts(of: Shape) -> list[tuple[int, str]]:
    """Every strut of the drawing: the centre one once, the others on both sides."""
    return [
        (index, side)
        for index, strut in enumerate(of.planform.struts)
        for side in (("centre",) if strut.is_centre else SIDES)
    ]


def strut_seams(of: Shape, view: View) -> str:
    """The edge of each strut's collar and of its pointed end, each with a row, and the closing seam's two."""
    struts, pen = drawn_struts(of), view.pen_m
    if not struts:
        return ""
    ink: dict[str, str | float | None] = {"fill": "none", "stroke": "#15252b", "stroke_width": 0.7 * pen}
    fine = {**ink, "stroke_dasharray": dashes(2.4, 2, pen)}
    long = {**ink, "stroke_dasharray": dashes(4, 2.4, pen)}
    cuffs, rows = ("".join(_cuffs(of, *each, before) for each in struts) for before in (0.0, ROW_PENS * pen))
    near, far = ("".join(_closing(of, *each, way * TWIN_PENS * pen) for each in struts) for way in (-1, 1))
    return (
        element("path", d=cuffs, class_="cuff", **{**ink, "stroke_width": 1.1 * pen})
        + element("path", d=rows, class_="stitches", **fine)
        + element("path", d=near, class_="strut-seam", **long)
        + element("path", d=far, class_="strut-seam twin", **long)
    )


def middle_x(of: Shape, index: int, side: str) -> float:
    return -of.strut_x(index) if side == "left" else of.strut_x(index)


def _cuffs(of: Shape, index: int, side: str, before_m: float) -> str:
    """Across a strut where its collar ends and where its point begins, or so far toward the leading edge."""
    x, (front, back) = middle_x(of, index, side), of.strut_ends(index)
    y, half = outline.collar(of, index)
    knee = front + POINTED_SHARE * (back - front)
    return _across(x, y - before_m, half, CUFF_BOW) + _across(
        x, knee - before_m, of.strut_half_width(index, POINTED_SHARE), CUFF_BOW
    )


def across(of: Shape, index: int, side: str, share: float, along_m: float = 0.0) -> str:
    """A seam round a strut at a share of its length, or a row so far aft of it."""
    front, back = of.strut_ends(index)
    half, y = of.strut_half_width(index, share), front + share * (back - front) + along_m
    return _across(middle_x(of, index, side), y, half, outline.BOW)


def _across(x: float, y: float, half: float, bow: float) -> str:
    return f"M{at(Point(x - half, y))}Q{at(Point(x, y + 2 * bow * half))} {at(Point(x + half, y))}"


def _closing(of: Shape, index: int, side: str, aside_m: float) -> str:
    x, (front, back) = middle_x(of, index, side), of.strut_ends(index)
    inward, (start, half) = 1 if side == "left" else -1, outline.collar(of, index)
    first = (start + CUFF_BOW * half - front) / (back - front)
    return polyline(
        Point(
            x + inward * SEAM_SHARE * of.strut_half_width(index, share) + aside_m,
            front + share * (back - front),
        )
        for share in (first, POINTED_SHARE)
    )
