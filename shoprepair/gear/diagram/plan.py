"""The frame of a plan: span, chord and tube measured between arrows, where a drawing is shown large."""

from dataclasses import dataclass

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.diagram.svg import element, group, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import Shape
from shoprepair.shop.units import Units, say_length

FOOT_PENS, SIDE_PENS = 36.0, 26.0
"""Room for the span below the drawing and for the chord beside it."""
LINE_PENS = 17.0
"""How far outside the drawing a dimension line runs."""
ABOVE_PENS = 6.0
"""How far above its line a figure stands."""
TUBE_PENS = 15.0
LETTER_PENS, WIDE = 24.0, 0.62
"""Height of a figure's letters, and how wide one is over that at most."""
ARROW_PENS = (11.0, 2.6)
SOFT, INK = "#6a7376", "#42525a"


@dataclass(frozen=True, slots=True)
class Measures:
    """What a plan says, as its reader measures."""

    span: str
    chord: str
    tube: str
    """Across the leading edge at the centre."""


def measures(planform: Planform, units: Units) -> Measures:
    """The figures of a plan in somebody's units."""
    return Measures(
        say_length(planform.span_m, units),
        say_length(planform.chord_centre_m, units),
        f"Ø {say_length(planform.leading_edge.diameter_root_m, units)}",
    )


def framed(view: View) -> View:
    """The sheet with room for the frame; the drawing itself stays where it was."""
    side, foot = SIDE_PENS * view.pen_m, FOOT_PENS * view.pen_m
    return View(view.x_m - side, view.y_m, view.width_m + side, view.height_m + foot)


def frame(of: Shape, view: View, said: Measures) -> str:
    """Dimension lines with their arrows and figures, finer than any line of the drawing."""
    pen = view.pen_m
    lines, arrows = zip(_span(of, view), _chord(of, view), strict=True)
    path = "".join(lines)
    drawn = element("path", d=path, class_="dimension", fill="none", stroke=SOFT, stroke_width=0.7 * pen)
    heads = element("path", d="".join(arrows), class_="arrows", fill=SOFT, stroke="none")
    return drawn + heads + group("side-words", _figures(of, view, said), fill=INK)


def rooms_of_figures(of: Shape, view: View, said: Measures) -> tuple[Box, Box]:
    """Where figures stand within the drawing, the tube's and the chord's, for tags to keep off them."""
    pen = view.pen_m
    high, wide = LETTER_PENS * pen, WIDE * LETTER_PENS * pen
    foot, left = -of.line.radius(0.0) - TUBE_PENS * pen, ABOVE_PENS * pen
    beside, below = view.x_m - (LINE_PENS - ABOVE_PENS) * pen, (1.4 * LETTER_PENS + ABOVE_PENS) * pen
    return (
        Box(left, foot - high, left + wide * len(said.tube), foot),
        Box(beside, below - high, beside + wide * len(said.chord), below),
    )


def _span(of: Shape, view: View) -> tuple[str, str]:
    """From tip to tip of the centreline, below the drawing."""
    pen, half = view.pen_m, of.planform.half_span_m
    y = view.y_m + view.height_m + LINE_PENS * pen
    tip = of.line.at(1.0).y_m + of.line.radius(1.0) + 8 * pen
    left, right = Point(-half, y), Point(half, y)
    down = "".join(polyline([Point(x, tip), Point(x, y + 5 * pen)]) for x in (-half, half))
    return down + polyline([left, right]), _arrow(left, 1, 0, pen) + _arrow(right, -1, 0, pen)


def _chord(of: Shape, view: View) -> tuple[str, str]:
    """From the centreline's front to the trailing edge at the centre, left of the drawing."""
    pen, x, chord = view.pen_m, view.x_m - LINE_PENS * view.pen_m, of.planform.chord_centre_m
    top, foot = Point(x, 0.0), Point(x, chord)
    ends = ((0.0, _reach_at_front(of)), (chord, _reach_at_foot(of)))
    across = "".join(
        polyline([Point(x - 5 * pen, y), Point(max(-reach - 8 * pen, x + 5 * pen), y)]) for y, reach in ends
    )
    return across + polyline([top, foot]), _arrow(top, 0, 1, pen) + _arrow(foot, 0, -1, pen)


def _reach_at_front(of: Shape) -> float:
    """How far from the centre the leading edge's front is behind where its centreline begins."""
    fronts = (of.line.beside(n / 60, -of.line.radius(n / 60)) for n in range(61))
    return max((front.x_m for front in fronts if front.y_m <= 0), default=0.0)


def _reach_at_foot(of: Shape) -> float:
    """How far from the centre any cloth or tube lies as far aft as the trailing edge's centre."""
    chord, tip = of.planform.chord_centre_m, of.line.at(1.0)
    if max(of.trailing_y(of.reach.x_m), tip.y_m) >= chord:
        return float(of.planform.half_span_m + of.line.radius(1.0))
    return 0.0


def _arrow(tip: Point, x: int, y: int, pen_m: float) -> str:
    """A slim arrow head whose point lies on the end of its line."""
    long, half = (part * pen_m for part in ARROW_PENS)
    foot = Point(tip.x_m + x * long, tip.y_m + y * long)
    sides = [Point(foot.x_m + y * way * half, foot.y_m + x * way * half) for way in (-1, 1)]
    return polyline([tip, *sides], closed=True)


def _figures(of: Shape, view: View, said: Measures) -> list[str]:
    """Each beside its line, none turned: the span's by the centre line, the chord's in the empty corner."""
    pen = view.pen_m
    tube, chord = rooms_of_figures(of, view, said)
    below = view.y_m + view.height_m + (LINE_PENS - ABOVE_PENS) * pen
    stood = (
        (said.span, tube.left, below),
        (said.chord, chord.left, chord.bottom),
        (said.tube, tube.left, tube.bottom),
    )
    return [element("text", word, x=x, y=y, font_size=LETTER_PENS * pen) for word, x, y in stood]
