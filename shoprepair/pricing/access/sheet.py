"""The sheet that tubes are laid out on: its measures, and writing on it."""

from dataclasses import dataclass
from html import escape

from shoprepair.gear.diagram.svg import element, number
from shoprepair.pricing.tubes import TubeLine

WIDE = 1000.0
"""The sheet, in its own steps of about a pixel."""
SIDE = 26.0
HEAD = 92.0
"""Room above a tube for its name and the damages' tags."""
DRAWN_OUT = 26.0
"""How far a bladder hangs out of its tube."""
LENGTH_WIDE = 128.0
"""Room that a written length takes."""
FOOT = 74.0
"""Room below for the bladder that is drawn out and the measure."""
WORDS = 24.0
TAG_WIDE, TAG_TALL = 46.0, 34.0
LEAST_THICK = 26.0
"""A tube is drawn at least so thick; lengths along it stay true."""
INK, CLOTH, PAPER = "#15252b", "#efeadd", "#fffdf8"


@dataclass(frozen=True, slots=True)
class Row:
    """One tube on the sheet: how many steps a metre is, and the height of its middle."""

    line: TubeLine
    scale: float
    y: float
    thick: float

    def x(self, at_m: float) -> float:
        return SIDE + at_m * self.scale

    def half(self, at_m: float) -> float:
        """Half its drawn thickness at a place."""
        return self.thick * self.line.radius(at_m) / max(radius for _, radius in self.line.radii_m)


def xy(x: float, y: float) -> str:
    return f"{number(x, 1)} {number(y, 1)}"


def stroke(class_: str, path: str, width: float, dashes: str | None = None) -> str:
    return element(
        "path",
        "",
        class_=class_,
        d=path,
        fill="none",
        stroke=INK,
        stroke_width=width,
        stroke_dasharray=dashes,
    )


def write(
    words: str,
    x: float,
    y: float,
    anchor: str,
    class_: str,
    *,
    weight: str | None = None,
    size: float | None = None,
) -> str:
    return element(
        "text",
        escape(words),
        class_=class_,
        x=x,
        y=y,
        text_anchor=anchor,
        fill=INK,
        font_weight=weight,
        font_size=size,
    )
