"""The two pictures of an answer: where it lies on the gear, and how far a cut is from running, to scale."""

from collections.abc import Mapping, Sequence

from django.utils.safestring import SafeString, mark_safe

from shoprepair.gear import diagram
from shoprepair.gear.planform import Planform
from shoprepair.shop.charts.svg import element, group, number

WIDE, HIGH = 340.0, 74.0
EDGE = 6.0
"""Room beside the ruler, in the drawing's units: about a pixel on a phone."""
ROOM_BEYOND = 1.25
"""The ruler goes on so far beyond the longer of the two."""
TICKS_M = (0.001, 0.005, 0.01, 0.05, 0.1, 0.5)
MOST_TICKS = 16
HATCH = 7.0
TAG_SHARE = 0.085
"""Of the drawing's width: legible on a phone."""


def where(
    planform: Planform, pins: Sequence[diagram.Pin], load: Mapping[str, float] | None, title: str
) -> SafeString:
    """The whole inflatable with a numbered tag at each damage; hatched denser where it carries more."""
    return diagram.draw(
        planform, detail="paper", load=load, pins=pins, title=title, unique="where", tag_share=TAG_SHARE
    )


def ruler(length_m: float | None, runs_at_m: float, title: str) -> SafeString:
    """A damage beside the length from which it runs; a length that nobody knows reaches the ruler's end."""
    end = ROOM_BEYOND * max(length_m or 0.0, runs_at_m)
    per_m = (WIDE - 2 * EDGE) / end
    body = (
        element("title", title)
        + _danger(EDGE + runs_at_m * per_m)
        + _damage(EDGE + min(length_m or end, end) * per_m, known=length_m is not None)
        + _scale(end, per_m)
    )
    svg = element("svg", body, class_="ruled", viewBox=f"0 0 {number(WIDE)} {number(HIGH)}", role="img")
    return mark_safe(svg)  # noqa: S308 - numbers, and a title of ours


def _danger(start: float) -> str:
    """The hatched stretch from where it runs, with a wall at its beginning."""
    end = WIDE - EDGE
    count = int((end - start + HIGH) / HATCH) + 1
    slants = (_slant(start, end, start - 44 + HATCH * n) for n in range(count))
    lines = element("path", d="".join(slants), class_="ruled-hatch")
    box = element("rect", x=start, y=4.0, width=max(end - start, 0.0), height=44.0, class_="ruled-ground")
    return box + lines + element("path", d=f"M{number(start)} 0V52", class_="ruled-wall")


def _slant(start: float, end: float, x: float) -> str:
    """One slanted line from the lower left to the upper right, cut to the stretch."""
    low, high = max(x, start), min(x + 44, end)
    return (
        f"M{number(low)} {number(48 - (low - x))}L{number(high)} {number(48 - (high - x))}"
        if low < high
        else ""
    )


def _damage(end: float, *, known: bool) -> str:
    line = element("path", d=f"M{number(EDGE)} 26H{number(end)}", class_="ruled-cut")
    caps = f"M{number(EDGE)} 15V37" + (f"M{number(end)} 15V37" if known else "")
    return line + element("path", d=caps, class_="ruled-cap")


def _scale(end_m: float, per_m: float) -> str:
    tick = next((t for t in TICKS_M if end_m / t <= MOST_TICKS), TICKS_M[-1])
    marks = "".join(
        f"M{number(EDGE + n * tick * per_m)} 56v{12 if n % 5 == 0 else 7}"
        for n in range(int(end_m / tick) + 1)
    )
    base = element("path", d=f"M{number(EDGE)} 56H{number(WIDE - EDGE)}", class_="ruled-base")
    return group("ruled-scale", [base, element("path", d=marks, class_="ruled-base")])
