"""What is drawn on the tubes: seams between cut segments, closing seam, doublings, the strong outline."""

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.hatch import edge_comb, edge_hatch, strut_comb, strut_hatch
from shoprepair.gear.diagram.svg import element, group, polyline, smooth
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import SIDES
from shoprepair.gear.shape import POINTED_SHARE, Shape

CLOSING_SHARE = 0.62
"""The closing seam runs along the back of the tube, at this share of the radius from above."""
DOUBLING_PENS = 9.0


def edge_seams(of: Shape, view: View) -> str:
    """Seams across the leading edge at its true taper between rows of stitches, and the closing seam."""
    across: list[str] = []
    stitches: list[str] = []
    for t in outline.segment_ts(of)[:-1]:
        for side in SIDES if t > 0 else ("right",):
            across.append(_across(of, t, side, 0.0))
            stitches.extend(_across(of, t, side, gap * view.pen_m) for gap in (-3.2, 3.2))
    closing = outline.both_halves(outline.along_tube(of, CLOSING_SHARE))
    pen = view.pen_m
    return group(
        "edge-seams",
        (
            element("path", d="".join(across), class_="cut-seam", stroke_width=1.5 * pen),
            element(
                "path",
                d="".join(stitches),
                class_="stitches",
                stroke_dasharray=f"{2.4 * pen:.4f} {2 * pen:.4f}",
            ),
            element(
                "path",
                d=smooth(closing, -1, 0, 8) + smooth(closing, 0, 1, 8),
                class_="closing-seam",
                stroke_dasharray=f"{4 * pen:.4f} {2.4 * pen:.4f}",
            ),
        ),
        fill="none",
        stroke="#15252b",
        stroke_width=0.8 * pen,
    )


def _across(of: Shape, t: float, side: str, along_m: float) -> str:
    arc = of.line.arc(t) + along_m
    where = of.line.t_at_arc(abs(arc))
    radius = of.line.radius(where)
    ends = [of.line.beside(where, offset) for offset in (-radius, radius)]
    if (side == "left") != (arc < 0):
        ends = [p.mirrored() for p in ends]
    return polyline(ends)


def doublings(of: Shape, view: View, *, loaded: bool) -> str:
    """Where the casing is two plies: hatched across; under a load map only along both edges."""
    spacing = DOUBLING_PENS * view.pen_m
    hatches = [*_edge_doublings(of, spacing, loaded), *_strut_doublings(of, spacing, loaded)]
    ends = [*_edge_ends(of), *_strut_ends(of)]
    pen = view.pen_m
    return group(
        "doublings",
        (
            element("path", d="".join(hatches), class_="doubling") if hatches else "",
            element("path", d="".join(ends), class_="doubling-end", stroke_width=1.1 * pen) if ends else "",
        ),
        fill="none",
        stroke="#15252b",
        stroke_width=0.6 * pen,
    )


def _edge_doublings(of: Shape, spacing: float, loaded: bool) -> list[str]:
    return [
        edge_comb(of, _arcs(of, stretch), 0.7 * spacing, side)
        if loaded
        else edge_hatch(of, _arcs(of, stretch), spacing, side, lean=-0.5)
        for stretch in of.planform.leading_edge.doublings
        for side in SIDES
    ]


def _arcs(of: Shape, stretch: tuple[float, float]) -> tuple[float, float]:
    low, high = (of.line.arc(of.line.t_at_station(station)) for station in stretch)
    return low, high


def _edge_ends(of: Shape) -> list[str]:
    stations = {s for stretch in of.planform.leading_edge.doublings for s in stretch if 0 < s < 1}
    return [_across(of, of.line.t_at_station(s), side, 0.0) for s in sorted(stations) for side in SIDES]


def _strut_doublings(of: Shape, spacing: float, loaded: bool) -> list[str]:
    return [
        strut_comb(of, index, (low, min(high, POINTED_SHARE)), 0.7 * spacing, side)
        if loaded
        else strut_hatch(of, index, (low, min(high, POINTED_SHARE)), spacing, side, lean=-0.5)
        for index, side in drawn_struts(of)
        for low, high in of.planform.struts[index].tube.doublings
    ]


def _strut_ends(of: Shape) -> list[str]:
    return [
        _strut_across(of, index, side, share)
        for index, side in drawn_struts(of)
        for stretch in of.planform.struts[index].tube.doublings
        for share in stretch
        if 0 < share < POINTED_SHARE
    ]


def _strut_across(of: Shape, index: int, side: str, share: float) -> str:
    front, back = of.strut_ends(index)
    x = -of.strut_x(index) if side == "left" else of.strut_x(index)
    y, half = front + share * (back - front), of.strut_half_width(index, share)
    return polyline([Point(x - half, y), Point(x + half, y)])


def drawn_struts(of: Shape) -> list[tuple[int, str]]:
    """Every strut of the drawing: the centre one once, the others on both sides."""
    return [
        (index, side)
        for index, strut in enumerate(of.planform.struts)
        for side in (("centre",) if strut.is_centre else SIDES)
    ]


def strut_seams(of: Shape, view: View) -> str:
    """The closing seam of each strut and the seam of its pointed end."""
    lines = [part for index, side in drawn_struts(of) for part in _strut_lines(of, index, side)]
    pen = view.pen_m
    return element(
        "path",
        d="".join(lines),
        class_="strut-seam",
        fill="none",
        stroke="#15252b",
        stroke_width=0.8 * pen,
        stroke_dasharray=f"{4 * pen:.4f} {2.4 * pen:.4f}",
    )


def _strut_lines(of: Shape, index: int, side: str) -> tuple[str, str]:
    front, back = of.strut_ends(index)
    x = -of.strut_x(index) if side == "left" else of.strut_x(index)
    inward = 1 if side == "left" else -1
    points = [
        Point(x + inward * 0.5 * of.strut_half_width(index, share), front + share * (back - front))
        for share in (0.05, POINTED_SHARE)
    ]
    return polyline(points), _strut_across(of, index, side, POINTED_SHARE)


def edge_outline(of: Shape, view: View) -> str:
    """The strong line round the leading edge."""
    return element(
        "path",
        d=outline.tube_outline(of),
        class_="edge-outline",
        fill="none",
        stroke="#15252b",
        stroke_width=2.6 * view.pen_m,
        stroke_linejoin="round",
    )
