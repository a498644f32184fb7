"""The share of its strength that sound casing cloth uses along the span, plotted with the pins on it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from html import escape

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.diagram.fewer import fewer
from shoprepair.gear.diagram.pins import Pin
from shoprepair.gear.diagram.pins import draw as draw_pins
from shoprepair.gear.diagram.svg import element, group, polyline
from shoprepair.gear.diagram.view import View
from shoprepair.mechanics import assessment
from shoprepair.mechanics.bands import LEAST_RATIO
from shoprepair.mechanics.description import DEFAULT_CASES, Band, Element, LoadCases, Pattern

WIDTH, HEIGHT = 640.0, 310.0
NARROW = 320.0
"""The same drawn for a phone, with letters of the same size."""
LEFT, RIGHT, TOP, BOTTOM = 60.0, 16.0, 46.0, 44.0
STEPS = 60
UNSEEN = 0.2
"""Of the plot's units, about a pixel each: a line that lies no farther off looks the same."""
TOPS = (0.25, 0.5, 0.75, 1.0)
TEXT, WIDE = 17.0, 0.58
"""Height of the letters, and how wide one is over that at most."""
GROWN_TEXT = 28.0
"""Height of the letters where a page shows the wide plot on a phone: `.plot text` of its style sheet."""
TAG_SHARE = 0.044
MOST_TAGS = 12
"""More would lie over one another: of more pins those that carry most of their strength have one."""
INK, SOFT, CLOTH = "#15252b", "#8a8f8c", "#fffdf8"
ON_THE_EDGE = (None, Element.LEADING_EDGE, Element.BRIDLE_POINT)


@dataclass(frozen=True, slots=True)
class Axes:
    """From a signed station and a load ratio to the plot's own units."""

    top: float
    width: float = WIDTH

    def __call__(self, station: float, ratio: float) -> Point:
        share = min(ratio, self.top) / self.top
        x = LEFT + (station + 1) / 2 * (self.width - LEFT - RIGHT)
        return Point(x, HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP))


@dataclass(frozen=True, slots=True)
class Word:
    """Something written on the plot, by the foot of its letters."""

    said: str
    x: float
    y: float
    anchor: str

    def room(self, letters: float = TEXT) -> Box:
        """What it takes at most, written so high."""
        wide = WIDE * letters * len(self.said)
        left = self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * wide
        return Box(left, self.y - letters, left + wide, self.y + 0.3 * letters)


def strength_plot(
    pattern: Pattern,
    cases: LoadCases = DEFAULT_CASES,
    pins: Sequence[Pin] = (),
    *,
    title: str = "",
    unique: str = "plot",
    width: float = WIDTH,
    letters: float = TEXT,
) -> SafeString:
    """Load ratio of sound cloth on the leading edge from the left tip to the right, as <svg>.

    Pins stand on the curve at their station; those known to lie on something else are left out. A pin that
    tells its load ratio gets a stem from the curve up to it, cut off at the top of the plot. No tag lies on a
    word, be it written `letters` high.
    """
    curve = [(u, assessment.sound_load_ratio(pattern, abs(u), cases)) for u in _stations(pattern)]
    shown = standing(pins)
    highest = max([ratio for _, ratio in curve] + [min(pin.load_ratio or 0.0, 1.0) for pin in shown])
    axes = Axes(next((top for top in TOPS if highest <= 0.92 * top), 1.0), width)
    stood = [_standing(pin, pattern, cases) for pin in shown]
    body = _title(title, unique) + _grid(axes) + _curve(curve, axes) + _stems(shown, stood, axes)
    tags = [replace(pin, x_m=(at := axes(*on)).x_m, y_m=at.y_m) for pin, on in zip(shown, stood, strict=True)]
    tags = sorted(tags, key=lambda pin: -(pin.load_ratio or 0.0))[:MOST_TAGS]
    sheet, words = View(0.0, 0.0, width, HEIGHT), [*_words(axes), *_bands_named(axes)]
    pinned = draw_pins(tags, sheet, share=TAG_SHARE, clear=tuple(word.room(letters) for word in words))
    return mark_safe(_svg(body + pinned + _said(words), unique, sheet))  # noqa: S308


def standing(pins: Sequence[Pin]) -> list[Pin]:
    """Those of the pins that stand on the plot; the first `MOST_TAGS` by load ratio with their numbers."""
    return [pin for pin in pins if pin.element in ON_THE_EDGE]


def _svg(body: str, unique: str, sheet: View) -> str:
    return element(
        "svg",
        body,
        xmlns="http://www.w3.org/2000/svg",
        class_="strength-plot is-narrow" if sheet.width_m < WIDTH else "strength-plot",
        id=unique,
        viewBox=sheet.box,
        role="img",
        aria_labelledby=f"{unique}-title",
        font_family="Atkinson Hyperlegible Next, sans-serif",
    )


def _title(title: str, unique: str) -> str:
    said = title or gettext(
        "Share of its strength that the leading edge's sound cloth uses at full load, tip to tip"
    )
    return element("title", escape(said), id=f"{unique}-title")


def _stations(pattern: Pattern) -> list[float]:
    """Even steps from tip to tip, and both sides of each end of a doubling, where the curve jumps."""
    ends = {end for stretch in pattern.leading_edge.doublings for end in stretch if 0 < end < 1}
    jumps = {side * (end + beside) for end in ends for side in (-1, 1) for beside in (-1e-6, 1e-6)}
    return sorted({2 * i / STEPS - 1 for i in range(STEPS + 1)} | jumps)


def _standing(pin: Pin, pattern: Pattern, cases: LoadCases) -> tuple[float, float]:
    """Signed station of a pin and the load ratio of sound cloth there."""
    station = max(-1.0, min(1.0, pin.x_m / (pattern.span_m / 2)))
    return station, assessment.sound_load_ratio(pattern, abs(station), cases)


def _grid(axes: Axes) -> str:
    lines = "".join(polyline([axes(-1, t), axes(1, t)], digits=1) for t in _ticks(axes)[1:])
    frame = polyline([axes(-1, axes.top), axes(-1, 0), axes(1, 0)], digits=1)
    middle = polyline([axes(0, 0), axes(0, axes.top)], digits=1)
    return group(
        "plot-grid",
        (
            element("path", d=lines, class_="plot-line", stroke=SOFT, stroke_width=0.8, stroke_opacity=0.55),
            element(
                "path", d=middle, class_="plot-line", stroke=SOFT, stroke_width=0.8, stroke_dasharray="2 4"
            ),
            element("path", d=frame, class_="plot-frame", stroke=INK, stroke_width=1.6),
            *_bands(axes),
        ),
        fill="none",
    )


def _ticks(axes: Axes) -> list[float]:
    return [axes.top * i / 5 for i in range(6)]


def _bands(axes: Axes) -> Iterator[str]:
    """A dashed line where each band begins, as far as the plot reaches."""
    for band, least in LEAST_RATIO.items():
        if 0 < least <= axes.top and band is not Band.WATCH:
            line = polyline([axes(-1, least), axes(1, least)], digits=1)
            yield element(
                "path", d=line, class_="plot-band", stroke=INK, stroke_width=1.4, stroke_dasharray="7 4"
            )


def _words(axes: Axes) -> Iterator[Word]:
    """What stands beside the axes."""
    for tick in _ticks(axes):
        at = axes(-1, tick)
        yield Word(f"{tick * 100:.0f} %", at.x_m - 8, at.y_m + 6, "end")
    for station, word, anchor in (
        (-1, gettext("left tip"), "start"),
        (0, gettext("centre"), "middle"),
        (1, gettext("right tip"), "end"),
    ):
        at = axes(station, 0)
        yield Word(word, at.x_m, HEIGHT - BOTTOM + 27, anchor)


def _bands_named(axes: Axes) -> Iterator[Word]:
    """Which band begins where."""
    for band, least in LEAST_RATIO.items():
        if 0 < least <= axes.top:
            at = axes(-1, least)
            yield Word(
                gettext("%(band)s from here") % {"band": gettext(band)}, at.x_m + 8, at.y_m - 8, "start"
            )


def _said(words: Iterable[Word]) -> str:
    """Over all that is drawn, so that no thread strikes a word through; no tag lies where one stands."""
    texts = (
        element("text", word.said, x=round(word.x, 1), y=round(word.y, 1), text_anchor=word.anchor)
        for word in words
    )
    return group(
        "plot-words",
        texts,
        font_size=TEXT,
        fill=INK,
        stroke=CLOTH,
        stroke_width=5,
        paint_order="stroke",
        pointer_events="none",
    )


def _curve(curve: list[tuple[float, float]], axes: Axes) -> str:
    points = fewer([axes(station, ratio) for station, ratio in curve], UNSEEN)
    ground = [axes(-1, 0), *points, axes(1, 0)]
    return element(
        "path", d=polyline(ground, closed=True, digits=1), class_="plot-ground", fill="#e9e4d6"
    ) + element(
        "path",
        d=polyline(points, digits=1),
        class_="plot-curve",
        fill="none",
        stroke=INK,
        stroke_width=3.0,
    )


def _stems(pins: Sequence[Pin], stood: list[tuple[float, float]], axes: Axes) -> str:
    lines = [
        polyline([axes(station, ratio), axes(station, pin.load_ratio)], digits=1)
        for pin, (station, ratio) in zip(pins, stood, strict=True)
        if pin.load_ratio is not None and pin.load_ratio > ratio
    ]
    drops = [polyline([axes(station, 0), axes(station, ratio)], digits=1) for station, ratio in stood]
    return group(
        "plot-stems",
        (
            element("path", d="".join(drops), class_="plot-drop", stroke_dasharray="3 3", stroke_width=1.2)
            if drops
            else "",
            element("path", d="".join(lines), class_="plot-stem", stroke_width=4.0) if lines else "",
        ),
        fill="none",
        stroke=INK,
    )
