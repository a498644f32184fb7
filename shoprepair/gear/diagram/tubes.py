"""What is drawn on the tubes: seams between cut segments, closing seam, doublings, the strong outline."""

from collections.abc import Iterator

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline, struts
from shoprepair.gear.diagram.hatch import edge_comb, edge_hatch, strut_comb, strut_hatch
from shoprepair.gear.diagram.outline import HALF_PIECES
from shoprepair.gear.diagram.struts import ROW_PENS, TWIN_PENS, drawn_struts
from shoprepair.gear.diagram.svg import at, continued, dashes, element, group, smooth
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import SIDES
from shoprepair.gear.shape import POINTED_SHARE, Shape

CLOSING_SHARE = 0.62
"""The closing seam runs along the back of the tube, at this share of the radius from above."""
DOUBLING_PENS = 7.0
INK = "#15252b"


def edge_seams(of: Shape, view: View) -> str:
    """Seams round the leading edge at its true taper between rows of stitches, and the closing seam's two."""
    seams: list[str] = []
    stitches: list[str] = []
    pen = view.pen_m
    for t in outline.segment_ts(of)[:-1]:
        for side in SIDES if t > 0 else ("right",):
            seams.append(_across(of, t, side, 0.0))
            stitches.extend(_across(of, t, side, gap * pen) for gap in (-ROW_PENS, ROW_PENS))
    dash = dashes(4, 2.4, pen)
    return group(
        "edge-seams",
        (
            element("path", d="".join(seams), class_="cut-seam", stroke_width=1.3 * pen),
            element("path", d="".join(stitches), class_="stitches", stroke_dasharray=dashes(2.4, 2, pen)),
            element("path", d=_closing(of, -TWIN_PENS * pen), class_="closing-seam", stroke_dasharray=dash),
            element(
                "path", d=_closing(of, TWIN_PENS * pen), class_="closing-seam twin", stroke_dasharray=dash
            ),
        ),
        fill="none",
        stroke=INK,
        stroke_width=0.7 * pen,
    )


def _closing(of: Shape, aside_m: float) -> str:
    row = outline.both_halves(lambda t: of.line.beside(t, CLOSING_SHARE * of.line.radius(t) + aside_m))
    return smooth(row, -1, 0, HALF_PIECES) + continued(row, 0, 1, HALF_PIECES)


def _across(of: Shape, t: float, side: str, along_m: float) -> str:
    """A seam round the leading edge, or a row of stitches so far outwards of it."""
    arc = of.line.arc(t) + along_m
    where = of.line.t_at_arc(abs(arc))
    radius = of.line.radius(where)
    left = (side == "left") != (arc < 0)
    front, rear = (_turned(of.line.beside(where, offset), left) for offset in (-radius, radius))
    round_it = outline.bowed(of, where if t > 0 else 0.0, "left" if left else "right", rear)
    return f"M{at(front)}{round_it}"


def _turned(right: Point, left: bool) -> Point:
    return right.mirrored() if left else right


def doublings(of: Shape, view: View, *, loaded: bool) -> str:
    """Where the casing is two plies: hatched across; under a load map only along both edges."""
    pen = view.pen_m
    spacing = DOUBLING_PENS * pen
    hatches = [*_edge_doublings(of, spacing, loaded), *_strut_doublings(of, spacing, loaded)]
    ends = [*_edge_ends(of, 0.0), *_strut_ends(of, 0.0)]
    rows = [*_edge_ends(of, ROW_PENS * pen), *_strut_ends(of, ROW_PENS * pen)]
    return group(
        "doublings",
        (
            element("path", d="".join(hatches), class_="doubling") if hatches else "",
            element("path", d="".join(ends), class_="doubling-end", stroke_width=1.1 * pen) if ends else "",
            element("path", d="".join(rows), class_="stitches", stroke_dasharray=dashes(2.4, 2, pen))
            if rows
            else "",
        ),
        fill="none",
        stroke=INK,
        stroke_width=0.6 * pen,
    )


def _edge_doublings(of: Shape, spacing: float, loaded: bool) -> list[str]:
    return [
        edge_comb(of, _arcs(of, stretch), spacing, side)
        if loaded
        else edge_hatch(of, _arcs(of, stretch), spacing, side, lean=-0.5)
        for stretch in of.planform.leading_edge.doublings
        for side in SIDES
    ]


def _arcs(of: Shape, stretch: tuple[float, float]) -> tuple[float, float]:
    low, high = (of.line.arc(of.line.t_at_station(station)) for station in stretch)
    return low, high


def _edge_ends(of: Shape, inside_m: float) -> Iterator[str]:
    """Both ends of each doubled stretch, or the rows that lie so far inside."""
    for low, high in of.planform.leading_edge.doublings:
        for station, inwards in ((low, 1), (high, -1)):
            if 0 < station < 1:
                t = of.line.t_at_station(station)
                yield from (_across(of, t, side, inwards * inside_m) for side in SIDES)


def _strut_doublings(of: Shape, spacing: float, loaded: bool) -> list[str]:
    return [
        strut_comb(of, index, (low, min(high, POINTED_SHARE)), spacing, side)
        if loaded
        else strut_hatch(of, index, (low, min(high, POINTED_SHARE)), spacing, side, lean=-0.5)
        for index, side in drawn_struts(of)
        for low, high in of.planform.struts[index].tube.doublings
    ]


def _strut_ends(of: Shape, inside_m: float) -> Iterator[str]:
    for index, side in drawn_struts(of):
        for low, high in of.planform.struts[index].tube.doublings:
            for share, inwards in ((low, 1), (high, -1)):
                if 0 < share < POINTED_SHARE:
                    yield struts.across(of, index, side, share, inwards * inside_m)


def edge_outline(of: Shape, view: View) -> str:
    """The strong line round the leading edge."""
    return element(
        "path",
        d=outline.tube_outline(of),
        class_="edge-outline",
        fill="none",
        stroke=INK,
        stroke_width=2.6 * view.pen_m,
        stroke_linejoin="round",
    )
