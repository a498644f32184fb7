"""The readings of a hold test, drawn against what a sound tube's gauge shows as it warms and cools.

Time runs to the right from the first reading, pressure upward in the reader's unit. The hatched band is where
a sound tube may stand, the dashed line where it stands that lost just what is allowed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from html import escape
from math import ceil, floor, log10

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext, ngettext

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.svg import element, group, polyline
from shoprepair.shop.languages import written
from shoprepair.shop.units import Units
from shoprepair.shop.units.reading import PASCAL
from shoprepair.work.hold_test import Expected, Judged
from shoprepair.work.readings import Reading, Sureness, unsure
from shoprepair.work.sealed import TestedTube, outside

WIDTH, HEIGHT = 440.0, 340.0
LEFT, RIGHT, TOP, BOTTOM = 62.0, 14.0, 34.0, 62.0
TEXT = 16.0
LEAST_SPAN_S = 600.0
TICKS = 5
INK, SOFT, CLOTH, THREAD = "#15252b", "#6d7a80", "#fffdf8", "#b23a1e"
_MINUTE_STEPS = (1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440)


@dataclass(frozen=True, slots=True)
class Axes:
    """From a moment and a pressure in Pa to the drawing's own units."""

    start: datetime
    seconds: float
    low_pa: float
    high_pa: float
    step_pa: float
    """From one level that is named to the next; the lowest and the highest are two of them."""
    step_s: float
    """The same for the time."""

    def __call__(self, at: datetime, pascal: float) -> Point:
        return Point(self.x((at - self.start).total_seconds()), self.y(pascal))

    def x(self, seconds: float) -> float:
        return LEFT + seconds / self.seconds * (WIDTH - LEFT - RIGHT)

    def y(self, pascal: float) -> float:
        share = (pascal - self.low_pa) / (self.high_pa - self.low_pa)
        return HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP)


def draw(
    judged: Judged, units: Units, *, sureness: Sureness, tube: TestedTube, unique: str = "hold"
) -> SafeString:
    """The drawing as <svg>; nothing before the first reading, or where that shows an empty tube."""
    if not judged.band:
        return SafeString("")
    errors = [unsure(reading, outside(reading, tube), sureness) for reading in judged.readings]
    axes = _axes(judged, errors, PASCAL[units.pressure])
    body = (
        _head(judged, unique)
        + _grid(axes, units)
        + _band(judged.band, axes, unique)
        + _next(judged, axes)
        + _readings(judged.readings, errors, axes)
    )
    return mark_safe(_svg(body, unique))  # noqa: S308


def _svg(body: str, unique: str) -> str:
    return element(
        "svg",
        body,
        xmlns="http://www.w3.org/2000/svg",
        class_="hold-plot",
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        role="img",
        aria_labelledby=f"{unique}-title",
        font_family="Atkinson Hyperlegible Next, sans-serif",
        font_size=TEXT,
    )


def _head(judged: Judged, unique: str) -> str:
    count = len(judged.readings)
    title = ngettext(
        "%(count)s reading of the gauge against what a sound tube shows",
        "%(count)s readings of the gauge against what a sound tube shows",
        count,
    ) % {"count": count}
    lines = element("path", d="M0 0V8", stroke=SOFT, stroke_width=2.4, class_="hold-hatch")
    hatch = element(
        "pattern",
        lines,
        id=f"{unique}-hatch",
        width="8",
        height="8",
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )
    return element("title", escape(title), id=f"{unique}-title") + element("defs", hatch)


def _axes(judged: Judged, errors: Sequence[float], unit_pa: float) -> Axes:
    """Both axes begin and end at a figure that stands beside them."""
    moments = [each.at for each in judged.band]
    seconds = max((max(moments) - min(moments)).total_seconds(), LEAST_SPAN_S)
    figures = [figure for each in judged.band for figure in (each.low_pa, each.high_pa, each.allowed_pa)]
    for reading, error in zip(judged.readings, errors, strict=True):
        figures += [reading.pressure_pa - error, reading.pressure_pa + error]
    low, high = max(min(figures), 0.0), max(figures)
    step = _round_step((high - low) / unit_pa / TICKS) * unit_pa
    minutes = seconds / 60
    step_s = 60 * next((each for each in _MINUTE_STEPS if minutes / each <= TICKS), _MINUTE_STEPS[-1])
    return Axes(
        start=judged.readings[0].at,
        seconds=ceil(seconds / step_s - 1e-9) * step_s,
        low_pa=floor(low / step + 1e-9) * step,
        high_pa=ceil(high / step - 1e-9) * step,
        step_pa=step,
        step_s=step_s,
    )


def _grid(axes: Axes, units: Units) -> str:
    pascal = PASCAL[units.pressure]
    step = axes.step_pa / pascal
    levels = [
        n * step for n in range(round(axes.low_pa / axes.step_pa), round(axes.high_pa / axes.step_pa) + 1)
    ]
    places = max(0, -floor(log10(step) + 1e-9))
    lines = "".join(
        polyline([Point(LEFT, axes.y(one * pascal)), Point(WIDTH - RIGHT, axes.y(one * pascal))], digits=1)
        for one in levels
    )
    frame = polyline(
        [Point(LEFT, TOP), Point(LEFT, HEIGHT - BOTTOM), Point(WIDTH - RIGHT, HEIGHT - BOTTOM)], digits=1
    ) + "".join(
        polyline([Point(x, HEIGHT - BOTTOM), Point(x, HEIGHT - BOTTOM + 5)], digits=1)
        for x in (axes.x(n * axes.step_s) for n in range(round(axes.seconds / axes.step_s) + 1))
    )
    words = [
        _text(written(f"{one:.{places}f}"), LEFT - 8, axes.y(one * pascal) + 5.5, "end") for one in levels
    ]
    words.append(_text(gettext("Gauge, %(pressure)s") % {"pressure": units.pressure}, 4, 18, "start"))
    return (
        element("path", d=lines, class_="hold-line", fill="none", stroke=SOFT, stroke_width=0.8)
        + element("path", d=frame, class_="hold-frame", fill="none", stroke=INK, stroke_width=1.6)
        + group("hold-words", (*words, *_times(axes)), fill=INK)
    )


def _times(axes: Axes) -> Iterator[str]:
    """Minutes or hours since the first reading, and when that was."""
    hours = axes.step_s >= 3600
    for n in range(round(axes.seconds / axes.step_s) + 1):
        at = n * axes.step_s
        said = written(f"{at / 3600:g}") if hours else f"{at / 60:.0f}"
        yield _text(said, axes.x(at), HEIGHT - BOTTOM + 20, "middle")
    unit = gettext("Hours") if hours else gettext("Minutes")
    said = gettext("%(unit)s after the first reading at %(start)s") % {
        "unit": unit,
        "start": f"{axes.start:%H:%M}",
    }
    yield _text(said, WIDTH / 2, HEIGHT - 12, "middle")


def _band(band: Sequence[Expected], axes: Axes, unique: str) -> str:
    shown = sorted(band, key=lambda each: each.at)
    above = [axes(each.at, each.high_pa) for each in shown]
    below = [axes(each.at, max(each.low_pa, axes.low_pa)) for each in shown]
    middle = [axes(each.at, each.middle_pa) for each in shown]
    allowed = [axes(each.at, max(each.allowed_pa, axes.low_pa)) for each in shown]
    return (
        element(
            "path",
            d=polyline([*above, *reversed(below)], closed=True, digits=1),
            class_="hold-band",
            fill=f"url(#{unique}-hatch)",
            stroke=SOFT,
            stroke_width=1.0,
        )
        + element("path", d=polyline(middle, digits=1), class_="hold-sound", fill="none", stroke=INK)
        + element(
            "path",
            d=polyline(allowed, digits=1),
            class_="hold-allowed",
            fill="none",
            stroke=THREAD,
            stroke_width=3.0,
            stroke_dasharray="9 5",
        )
    )


def _next(judged: Judged, axes: Axes) -> str:
    if judged.decides_at is None:
        return ""
    x = axes(judged.decides_at, axes.low_pa).x_m
    line = polyline([Point(x, TOP), Point(x, HEIGHT - BOTTOM)], digits=1)
    return element(
        "path",
        d=line,
        class_="hold-next",
        fill="none",
        stroke=INK,
        stroke_width=1.6,
        stroke_dasharray="2 4",
    ) + group(
        "hold-words",
        [
            _text(
                gettext("decides at %(decides_at)s") % {"decides_at": f"{judged.decides_at:%H:%M}"},
                x + 4,
                TOP - 8,
                "end",
            )
        ],
        fill=INK,
    )


def _readings(readings: Sequence[Reading], errors: Sequence[float], axes: Axes) -> str:
    return "".join(
        _reading(number, axes, reading, error)
        for number, (reading, error) in enumerate(zip(readings, errors, strict=True), 1)
    )


def _reading(number: int, axes: Axes, reading: Reading, error: float) -> str:
    on = axes(reading.at, reading.pressure_pa)
    high, low = axes.y(reading.pressure_pa + error), axes.y(max(reading.pressure_pa - error, axes.low_pa))
    x = on.x_m
    bar = "".join(
        polyline(ends, digits=1)
        for ends in (
            [Point(x, high), Point(x, low)],
            [Point(x - 6, high), Point(x + 6, high)],
            [Point(x - 6, low), Point(x + 6, low)],
        )
    )
    return (
        element("path", d=bar, class_="hold-error", fill="none", stroke=INK, stroke_width=2.0)
        + element(
            "circle", cx=x, cy=on.y_m, r=6.0, class_="hold-dot", fill=INK, stroke=CLOTH, stroke_width=2.0
        )
        + group("hold-words hold-number", [_text(str(number), x + 10, on.y_m - 9, "start")], fill=INK)
    )


def _text(said: str, x: float, y: float, anchor: str) -> str:
    return element("text", escape(said), x=round(x, 1), y=round(y, 1), text_anchor=anchor)


def _round_step(least: float) -> float:
    """1, 2 or 5 times a power of ten, at least so much."""
    power = 10.0 ** floor(log10(least))
    return next(times * power for times in (1, 2, 5, 10) if times * power >= least * (1 - 1e-9))
