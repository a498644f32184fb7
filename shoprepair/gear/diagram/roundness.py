"""What makes a tube look round: a shaded back, a lit front. Flat and pale, so that hatching reads over it."""

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.struts import CUFF_BOW, drawn_struts, middle_x
from shoprepair.gear.diagram.svg import at, continued, element, polyline, smooth
from shoprepair.gear.shape import POINTED_SHARE, Shape

SHADES = ((0.3, 1.0), (0.72, 1.0))
"""Bands of the radius toward the back or the right: where both lie it is darkest."""
SHEEN = (-0.68, -0.26)
DARK, LIGHT = ("#15252b", 0.06), ("#ffffff", 0.45)
PIECES = outline.HALF_PIECES


def of_edge(of: Shape) -> str:
    """The leading edge lit from ahead."""
    dark = "".join(_toned(_edge_band(of, *band), "shade", *DARK) for band in SHADES)
    return dark + _toned(_edge_band(of, *SHEEN), "sheen", *LIGHT)


def of_struts(of: Shape) -> str:
    """The struts lit from the left, as a drawing on a board is."""
    struts = drawn_struts(of)
    dark = "".join(
        _toned("".join(_strut_band(of, each, band) for each in struts), "shade", *DARK) for band in SHADES
    )
    return dark + _toned("".join(_strut_band(of, each, SHEEN) for each in struts), "sheen", *LIGHT)


def _toned(path: str, class_: str, fill: str, opacity: float) -> str:
    return element("path", d=path, class_=class_, fill=fill, fill_opacity=opacity) if path else ""


def _edge_band(of: Shape, low: float, high: float) -> str:
    near, far = (outline.both_halves(outline.along_tube(of, share)) for share in (low, high))
    ends = (f"L{at(far(1.0))}", "Z") if high < 1 else outline.cap_from(of, low)
    there = smooth(near, -1, 0, PIECES) + continued(near, 0, 1, PIECES)
    back = continued(far, 1, 0, PIECES) + continued(far, 0, -1, PIECES)
    return f"{there}{ends[0]}{back}{ends[1]}"


def _strut_band(of: Shape, which: tuple[int, str], band: tuple[float, float]) -> str:
    """From the collar's edge to the pointed end's, which both are cut round."""
    index, side = which
    x, (front, back) = middle_x(of, index, side), of.strut_ends(index)
    y, half = outline.collar(of, index)
    knee, narrow = front + POINTED_SHARE * (back - front), of.strut_half_width(index, POINTED_SHARE)

    def on(share: float, row_y: float, wide: float) -> Point:
        return Point(x + share * wide, row_y + CUFF_BOW * wide * (1 - share * share))

    low, high = band
    return polyline(
        (on(low, y, half), on(low, knee, narrow), on(high, knee, narrow), on(high, y, half)), closed=True
    )
