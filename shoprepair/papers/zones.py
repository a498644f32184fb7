"""Where tape may go: gear drawn in black where only the shop mends, dotted where a tip may be taped far away.

It has letters and no words, and it reads in black alone.
"""

from collections.abc import Iterator

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.sheet import FONT, cloth
from shoprepair.gear.diagram.struts import drawn_struts
from shoprepair.gear.diagram.svg import element, group, on_side, smooth
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.planform import SIDES, Planform
from shoprepair.gear.shape import Shape, shape
from shoprepair.papers.plain_drawing import without_words

INK, PAPER = "#15252b", "#ffffff"
LETTER_SHARE = 0.026
"""Radius of a letter's ring over the drawing's width, where nothing else is said."""
PIECES = 8
LETTERS = ("A", "B", "C")
"""Never; only toward the tips; the cloth."""


def draw(planform: Planform, tip_station: float, *, unique: str, letter_share: float = LETTER_SHARE) -> str:
    """The planform as SVG: tubes black up to `tip_station` of the half span, dotted from there to the tip."""
    of = shape(planform)
    sheet = view(of)
    turn = of.line.t_at_station(tip_station)
    body = (
        without_words(cloth(planform, unique))
        + group("never", _never(of, turn), fill=INK)
        + group("tips", _tips(of, turn, sheet), fill=PAPER, stroke=INK, stroke_width=4 * sheet.pen_m)
        + _letters(of, turn, sheet, letter_share * sheet.width_m)
    )
    return element(
        "svg",
        body,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=sheet.box,
        font_family=FONT,
        font_weight="700",
    )


def _never(of: Shape, turn: float) -> Iterator[str]:
    for side in SIDES:
        yield element("path", d=outline.tube_stretch(of, 0.0, turn, side))
    for index, side in drawn_struts(of):
        yield element("path", d=outline.strut(of, index, side))


def _tips(of: Shape, turn: float, sheet: View) -> Iterator[str]:
    """White, in a strong line, with dots along the middle."""
    pen = sheet.pen_m
    for side in SIDES:
        yield element("path", d=outline.tube_stretch(of, turn, 1.0, side, capped=True))
        middle = on_side(side, outline.along_tube(of, 0))
        yield element(
            "path",
            d=smooth(middle, turn + 0.02, 1.0, PIECES),
            fill="none",
            stroke_width=7 * pen,
            stroke_linecap="round",
            stroke_dasharray=f"0 {17 * pen:.4f}",
        )


def _letters(of: Shape, turn: float, sheet: View, radius: float) -> str:
    """A over the middle, B over the right tip, C on the cloth of the left half."""
    edge = of.line.beside((turn + 1) / 2, -of.line.radius((turn + 1) / 2) - 1.5 * radius)
    x = _between_struts(of)
    cloth_y = of.rear_y(x) + 0.76 * (of.trailing_y(x) - of.rear_y(x))
    spots = (
        Point(0.0, of.line.at(0.0).y_m - of.line.radius(0.0) - 1.4 * radius),
        Point(min(edge.x_m, sheet.x_m + sheet.width_m - 1.1 * radius), edge.y_m),
        Point(-x, cloth_y),
    )
    return "".join(_letter(name, spot, radius) for name, spot in zip(LETTERS, spots, strict=True))


def _between_struts(of: Shape) -> float:
    """The middle of a cell near a third of the half span, in m."""
    middles = [(low + high) / 2 for low, high in of.cells()]
    return min(middles, key=lambda x: abs(x - 0.34 * of.reach.x_m))


def _letter(name: str, spot: Point, radius: float) -> str:
    ring = element(
        "circle", cx=spot.x_m, cy=spot.y_m, r=radius, fill=PAPER, stroke=INK, stroke_width=radius / 7
    )
    word = element(
        "text",
        name,
        x=spot.x_m,
        y=spot.y_m + 0.45 * radius,
        font_size=1.25 * radius,
        text_anchor="middle",
        fill=INK,
    )
    return ring + word
