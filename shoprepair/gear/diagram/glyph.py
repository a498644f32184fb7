"""The glyph: a drawing of 120 × 60 for a list, light and sharp, with a dot for each pin."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import floor

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.fewer import fewer
from shoprepair.gear.diagram.pins import band_class
from shoprepair.gear.diagram.shorter import shortened
from shoprepair.gear.diagram.struts import drawn_struts
from shoprepair.gear.diagram.svg import element, group, number, polyline
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import Shape, shape
from shoprepair.mechanics.description import Band

WIDTH, HEIGHT = 120.0, 60.0
MARGIN = 4.0
UNSEEN = 0.1
"""Of the glyph's units: a line that lies no farther off looks the same, also on a fine screen."""

LAP = 0.4
"""How far a half reaches over the middle, in the glyph's units."""

PinDot = tuple[float, float, Band | str]
"""x in m, y in m, band."""


class Fit:
    """From metres to the glyph's own units."""

    def __init__(self, of: Shape) -> None:
        widest = of.line.beside(1.0, -of.line.radius(1.0)).x_m
        half = max(widest, of.planform.half_span_m)
        top = -of.line.radius(0.0)
        bottom = max(of.trailing_y(of.reach.x_m * i / 20) for i in range(21))
        self.scale = min((WIDTH - 2 * MARGIN) / (2 * half), (HEIGHT - 2 * MARGIN) / (bottom - top))
        self.drop = HEIGHT / 2 - self.scale * (top + bottom) / 2

    def __call__(self, p: Point) -> Point:
        return Point(WIDTH / 2 + self.scale * p.x_m, self.drop + self.scale * p.y_m)


@lru_cache(maxsize=1024)
def glyph_base(planform: Planform) -> str:
    """What a glyph shows without pins: leading edge, struts, trailing edge. Kept by its planform."""
    of = shape(planform)
    fit = Fit(of)
    return shortened(_canopy(of, fit) + _struts(of, fit) + _edge(of, fit))


def glyph(planform: Planform, points: Iterable[PinDot] = (), *, title: str = "") -> str:
    """A whole glyph as <svg>; without a title it is decoration and says nothing to a screen reader."""
    fit = Fit(shape(planform))
    dots = "".join(_dot(fit(Point(x, y)), band) for x, y, band in points)
    spoken = {"role": "img", "aria_label": title} if title else {"aria_hidden": "true"}
    return element(
        "svg",
        glyph_base(planform) + dots,
        xmlns="http://www.w3.org/2000/svg",
        class_="glyph",
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        width=WIDTH,
        height=HEIGHT,
        **spoken,
    )


def _halves(right: Sequence[Point], fit: Fit, class_: str, fill: str, wide: float) -> str:
    """A right half from the top of its middle round to the foot, and the same mirrored, in the same letters.

    A page of glyphs goes compressed, where what stands there twice weighs half.
    """
    line = [fit(p) for p in right]
    # Open along the middle, so that no stroke runs there, and lapped, so that no gap shows either.
    lapped = [line[0]._replace(x_m=WIDTH / 2 - LAP), *line, line[-1]._replace(x_m=WIDTH / 2 - LAP)]
    half = element(
        "path",
        d=polyline(fewer(lapped, UNSEEN), digits=1),
        class_=class_,
        fill=fill,
        stroke="#15252b",
        stroke_width=wide,
    )
    return group("half", [half], transform=f"matrix(-1 0 0 1 {WIDTH:.0f} 0)") + half


def _canopy(of: Shape, fit: Fit) -> str:
    fore = [of.line.at(i / 6) for i in range(7)]
    aft = outline.trailing(of, "right")[::2]
    return _halves([*fore, *reversed(aft)], fit, "g-canopy", "#fffdf8", 1.0)


def _struts(of: Shape, fit: Fit) -> str:
    wide = 2 if of.planform.held else 1
    bars = []
    for index, side in drawn_struts(of):
        x = -of.strut_x(index) if side == "left" else of.strut_x(index)
        front, back = of.strut_ends(index)
        head, foot = fit(Point(x, front)), fit(Point(x, back))
        # A line stays sharp where it fills whole pixels.
        column = number(round(head.x_m) if wide == 2 else floor(head.x_m) + 0.5, 1)
        bars.append(f"M{column} {number(head.y_m, 1)}V{number(foot.y_m, 1)}")
    return element(
        "path",
        d="".join(bars),
        class_="g-strut",
        fill="none",
        stroke="#15252b",
        stroke_width=wide,
    )


def _edge(of: Shape, fit: Fit) -> str:
    front, rear = (outline.along_tube(of, share) for share in (-1, 1))
    steps = [i / 10 for i in range(11)]
    return _halves(
        [*(front(t) for t in steps), *(rear(t) for t in reversed(steps))], fit, "g-edge", "#e9dfc9", 1.2
    )


def _dot(at: Point, band: Band | str) -> str:
    return element(
        "circle",
        class_=f"dot band-{band_class(band)}",
        cx=round(at.x_m, 1),
        cy=round(at.y_m, 1),
        r=4,
        fill="#15252b",
        stroke="#fffdf8",
        stroke_width=1.4,
    )
