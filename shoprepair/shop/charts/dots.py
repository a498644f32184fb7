"""A dot with its limits in each row: estimates side by side, each as sure as its count allows."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.shop.charts.chart import Chart, Say, cell, table, with_unit
from shoprepair.shop.charts.scale import Scale, across, ticks
from shoprepair.shop.charts.sheet import (
    INK,
    NARROW,
    PAPER,
    SOFT,
    TEXT,
    WIDTH,
    Box,
    baseline,
    level,
    line,
    svg,
    text,
    two_lines,
    width_of,
)
from shoprepair.shop.charts.svg import element, group, number

ROW, ROW_OF_TWO, ROW_UNDER_WORDS = 38.0, 48.0, 56.0
LEAST_WORDS, MOST_WORDS = 120.0, 236.0
NOTE = 84.0
BESIDE, LEADING = 18.0, 18.0


@dataclass(frozen=True, slots=True)
class Dot:
    """One row: its name, the estimate with its limits, and a count that says how much it rests on."""

    label: str
    value: float
    low: float
    high: float
    note: str = ""
    small: bool = False
    """Rests on so little that it is drawn hollow."""


def dots(
    rows: Sequence[Dot],
    *,
    title: str,
    unique: str,
    of: str,
    unit: str = "",
    say: Say | None = None,
    name: str = "",
    note: str = "",
) -> Chart:
    """Rows from the top down on a level axis from nought. A limit beyond the axis ends in an arrow.

    `of` names the axis, `name` and `note` head the words at the left and right.
    """
    write = say or with_unit(unit)
    frame = Frame(title, unique, of, name, note, write)
    cells = [[row.label, *(cell(v, write) for v in (row.value, row.low, row.high)), row.note] for row in rows]
    head = [name, of, gettext("at least"), gettext("at most"), note]
    return Chart(
        _drawn(rows, frame, _box(rows, name)),
        table(head, cells),
        title,
        unique,
        _drawn(rows, replace(frame, unique=f"{unique}-narrow"), _narrow_box(rows), NARROW),
    )


@dataclass(frozen=True, slots=True)
class Frame:
    """The words around the rows."""

    title: str
    unique: str
    of: str
    name: str
    note: str
    write: Say


def _drawn(rows: Sequence[Dot], frame: Frame, box: Box, width: float = WIDTH) -> SafeString:
    marks = ticks(0.0, _top(rows), 5 if width == WIDTH else 4)
    along = across(marks, box.left, box.right)
    grid = [
        line(along(m), box.top, along(m), box.bottom, "c-grid", stroke=SOFT, stroke_width=0.8) for m in marks
    ]
    body = (
        text(frame.name, 0, 18, "start", "c-word c-soft")
        + text(frame.note, width, 18, "end", "c-word c-soft")
        + group("c-lines", grid)
        + group("c-rows", _rows(rows, box, along, width))
        + baseline(box, box.bottom)
        + level(box, along, marks, [frame.write(mark) for mark in marks])
        + text(frame.of, box.right, box.bottom + 8 + TEXT + 24, "end", "c-word c-soft")
    )
    return svg(body, box.bottom + 58, frame.title, frame.unique, kind="dots", width=width)


def _top(rows: Sequence[Dot]) -> float:
    """Far enough for the estimates and most limits; one huge limit does not press all else together."""
    values = max((row.value for row in rows), default=0.0)
    highs = sorted(row.high for row in rows if row.high < inf)
    middle = highs[len(highs) // 2] if highs else 0.0
    return min(max([values, *highs]), max(2.5 * values, 2.5 * middle)) or 1.0


def _box(rows: Sequence[Dot], name: str) -> Box:
    """As much room for the words as they need, within bounds, and taller rows where some need two lines."""
    needed = max(width_of(words) for words in (name, *(row.label for row in rows))) + BESIDE
    left = min(max(needed, LEAST_WORDS), MOST_WORDS)
    tall = ROW_OF_TWO if needed > left else ROW
    return Box(left, 34.0, WIDTH - NOTE, 34.0 + tall * max(len(rows), 1))


def _narrow_box(rows: Sequence[Dot]) -> Box:
    """The whole width for the marks: words stand over them, in two lines where some need it."""
    lines = max((len(two_lines(row.label, _room(row))) for row in rows), default=1)
    tall = ROW_UNDER_WORDS + LEADING * (lines - 1)
    return Box(14.0, 34.0, NARROW - 24, 34.0 + tall * max(len(rows), 1))


def _room(row: Dot) -> float:
    """What its count leaves to a row's name on a phone."""
    return NARROW - width_of(row.note) - BESIDE / 2


def _rows(rows: Sequence[Dot], box: Box, along: Scale, width: float) -> Iterator[str]:
    tall = (box.bottom - box.top) / max(len(rows), 1)
    for place, row in enumerate(rows):
        top, middle = box.top + tall * place, box.top + tall * (place + 0.5)
        if width < WIDTH:
            # Whatever room a longer name takes elsewhere, words stand close over their own mark.
            lines, last = two_lines(row.label, _room(row)), top + tall - 34
            yield _lines(lines, last - LEADING * (len(lines) - 1))
            yield text(row.note, width, last, "end")
            yield _row(row, last + 18, along)
        else:
            yield _words(row.label, middle, box.left - BESIDE)
            yield text(row.note, width, middle + TEXT / 3, "end")
            yield _row(row, middle, along)


def _words(label: str, y: float, room: float) -> str:
    lines = two_lines(label, room)
    first = y + TEXT / 3 - LEADING / 2 * (len(lines) - 1)
    return _lines(lines, first)


def _lines(lines: Sequence[str], first: float) -> str:
    return "".join(text(words, 0, first + LEADING * i) for i, words in enumerate(lines))


def _row(row: Dot, y: float, along: Scale) -> str:
    start, end, level_at = (number(at, 1) for at in (along(row.low), along(row.high), y))
    last = "m-8-6l8 6-8 6" if row.high > along.high else "m0-6v12"
    whisker = element(
        "path",
        d=f"M{start} {number(y - 6, 1)}v12M{start} {level_at}H{end}{last}",
        class_="c-whisker",
        fill="none",
        stroke=INK,
        stroke_width=2.2,
    )
    dot = element(
        "circle",
        cx=round(along(row.value), 1),
        cy=round(y, 1),
        r=6.5,
        class_="c-dot is-small" if row.small else "c-dot",
        fill=PAPER if row.small else INK,
        stroke=INK,
        stroke_width=2.2,
    )
    return group("c-row", (whisker, dot))
