"""The paper of a chart: its words, fills, frame and legend.

Colours stand as classes for the screen and, for paper or a page without styles, as greys beside them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from django.utils.safestring import SafeString, mark_safe

from shoprepair.shop.charts.scale import Scale
from shoprepair.shop.charts.svg import element, group, number

WIDTH = 640.0
NARROW = 320.0
"""The same drawn for a phone, with letters of the same size."""
TEXT = 16.0
LINE = 24.0
INK, SOFT, PAPER = "#15252b", "#8a8f8c", "#fffdf8"
FONT = "Atkinson Hyperlegible Next, sans-serif"
LETTER = 0.53
"""Mean width of a letter over the size of the text."""
_FILLS = (
    (INK, "", 0.0),
    (PAPER, "M-2 8L8 -2M4 14L14 4", 2.6),
    (PAPER, "M3 3h.01M8 8h.01", 3.6),
    (PAPER, "M0 0L10 10M10 0L0 10", 1.4),
    (PAPER, "M0 2.5H10M0 7.5H10", 1.6),
)
"""Ground, hatch and pen of each: solid, leaning lines, dots, crossed lines, level lines."""
FILLS = len(_FILLS)


def svg(body: str, height: float, title: str, unique: str, *, kind: str, width: float = WIDTH) -> SafeString:
    """The whole chart as <svg>, named by its title."""
    name = element("title", escape(title), id=f"{unique}-title")
    whole = element(
        "svg",
        name + fills(unique, body) + body,
        xmlns="http://www.w3.org/2000/svg",
        class_=f"chart is-{kind}{' is-narrow' if width < WIDTH else ''}",
        id=unique,
        viewBox=f"0 0 {number(width, 1)} {number(height, 1)}",
        role="img",
        aria_labelledby=f"{unique}-title",
        font_family=FONT,
        font_size=TEXT,
    )
    return mark_safe(whole)  # noqa: S308


def text(said: str, x: float, y: float, anchor: str = "start", class_: str = "c-word") -> str:
    return element(
        "text", escape(said), x=round(x, 1), y=round(y, 1), text_anchor=anchor, class_=class_, fill=INK
    )


def width_of(said: str) -> float:
    """About how much room words take."""
    return LETTER * TEXT * len(said)


def cut(said: str, room: float) -> str:
    """Words that fit into some room, the rest shown as an ellipsis."""
    most = max(int(room / (LETTER * TEXT)), 2)
    return said if len(said) <= most else f"{said[: most - 1].rstrip()}…"


def two_lines(said: str, room: float) -> list[str]:
    """Words in one line, or in two where they need it; what fits into neither is cut."""
    if width_of(said) <= room:
        return [said]
    most = int(room / (LETTER * TEXT))
    at = said.rfind(" ", 0, most + 1)
    return [said[:at], cut(said[at + 1 :], room)] if at > 0 else [cut(said, room)]


def line(x1: float, y1: float, x2: float, y2: float, class_: str, **pen: str | float) -> str:
    begin, x, y = f"M{number(x1, 1)} {number(y1, 1)}", number(x2, 1), number(y2, 1)
    d = f"{begin}V{y}" if x1 == x2 else f"{begin}H{x}" if y1 == y2 else f"{begin}L{x} {y}"
    return element("path", d=d, class_=class_, fill="none", **({"stroke": INK} | pen))


def rect(x: float, y: float, width: float, height: float, class_: str, **more: str | float) -> str:
    return element(
        "rect",
        x=round(x, 1),
        y=round(y, 1),
        width=round(max(width, 0.0), 1),
        height=round(max(height, 0.0), 1),
        class_=class_,
        **more,
    )


def fill(unique: str, place: int) -> str:
    """The fill of a series, told apart by its hatch and not by colour."""
    return f"url(#{unique}-f{place % FILLS})"


def fills(unique: str, body: str) -> str:
    """The fills that a chart's marks are drawn with; of those that none has, nothing is sent."""
    made = [_pattern(unique, i) for i in range(FILLS) if fill(unique, i) in body]
    return element("defs", "".join(made)) if made else ""


def _pattern(unique: str, place: int) -> str:
    ground, hatch, pen = _FILLS[place]
    lines: dict[str, str | float] = {
        "fill": "none",
        "stroke": INK,
        "stroke_width": pen,
        "stroke_linecap": "round",
    }
    return element(
        "pattern",
        rect(0, 0, 10, 10, f"c-ground c-ground-{place}", fill=ground)
        + (element("path", d=hatch, class_=f"c-hatch c-hatch-{place}", **lines) if hatch else ""),
        id=f"{unique}-f{place}",
        width=10,
        height=10,
        patternUnits="userSpaceOnUse",
    )


@dataclass(frozen=True, slots=True)
class Box:
    """The part of the paper that a chart's marks lie in."""

    left: float
    top: float
    right: float
    bottom: float


def left_room(labels: Iterable[str]) -> float:
    """Room beside the marks for the words of the upright axis."""
    return max((width_of(label) for label in labels), default=0.0) + 16


def upright(box: Box, up: Scale, marks: Sequence[float], labels: Sequence[str]) -> str:
    """Level lines at the ticks of the upright axis, with their words at the left."""
    lines = [line(box.left, up(m), box.right, up(m), "c-grid", stroke=SOFT, stroke_width=0.8) for m in marks]
    words = [
        text(label, box.left - 8, up(mark) + TEXT / 3, "end")
        for mark, label in zip(marks, labels, strict=True)
    ]
    return group("c-upright", (*lines, *words))


def level(box: Box, along: Scale, marks: Sequence[float], labels: Sequence[str]) -> str:
    """Short strokes at the ticks of the level axis, with their words beneath."""
    strokes = [line(along(m), box.bottom, along(m), box.bottom + 6, "c-axis") for m in marks]
    words = [
        text(label, along(mark), box.bottom + 8 + TEXT, "middle")
        for mark, label in zip(marks, labels, strict=True)
    ]
    return group("c-level", (*strokes, *words))


def baseline(box: Box, y: float) -> str:
    return line(box.left, y, box.right, y, "c-axis", stroke_width=1.6)


@dataclass(frozen=True, slots=True)
class Key:
    """One entry of a legend: its swatch, 26 × 14 from a corner, and its words."""

    words: str
    swatch: str


def legend(keys: Sequence[Key], left: float, right: float) -> tuple[str, float]:
    """The legend in as many lines as it needs, and the height that it takes."""
    x, y, parts = left, 4.0, []
    for key in keys:
        room = 26 + 8 + width_of(key.words) + 22
        if x > left and x + room - 22 > right:
            x, y = left, y + LINE
        swatch = element("g", key.swatch, transform=f"translate({number(x, 1)} {number(y, 1)})")
        parts.append(swatch + text(key.words, x + 34, y + 13))
        x += room
    return group("c-legend", parts), (y + LINE + 4 if keys else 0.0)
