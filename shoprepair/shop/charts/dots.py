"""A dot with its limits in each row: estimates side by side, each as sure as its count allows."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from django.utils.translation import gettext

from shoprepair.shop.charts.chart import Chart, Say, cell, table, with_unit
from shoprepair.shop.charts.scale import Scale, across, ticks
from shoprepair.shop.charts.sheet import (
    INK,
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
from shoprepair.shop.charts.svg import element, group

ROW, ROW_OF_TWO = 38.0, 48.0
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
    marks = ticks(0.0, _top(rows), 5)
    box = _box(rows, name)
    along = across(marks, box.left, box.right)
    grid = [
        line(along(m), box.top, along(m), box.bottom, "c-grid", stroke=SOFT, stroke_width=0.8) for m in marks
    ]
    body = (
        text(name, 0, 18, "start", "c-word c-soft")
        + text(note, WIDTH, 18, "end", "c-word c-soft")
        + group("c-lines", grid)
        + group("c-rows", _rows(rows, box, along))
        + baseline(box, box.bottom)
        + level(box, along, marks, [write(mark) for mark in marks])
        + text(of, box.right, box.bottom + 8 + TEXT + 24, "end", "c-word c-soft")
    )
    cells = [[row.label, *(cell(v, write) for v in (row.value, row.low, row.high)), row.note] for row in rows]
    head = [name, of, gettext("at least"), gettext("at most"), note]
    return Chart(svg(body, box.bottom + 58, title, unique, kind="dots"), table(head, cells), title, unique)


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


def _rows(rows: Sequence[Dot], box: Box, along: Scale) -> Iterator[str]:
    tall = (box.bottom - box.top) / max(len(rows), 1)
    for place, row in enumerate(rows):
        yield _words(row.label, box.top + tall * (place + 0.5), box.left - BESIDE)
        yield _row(row, box.top + tall * (place + 0.5), along)


def _words(label: str, y: float, room: float) -> str:
    lines = two_lines(label, room)
    first = y + TEXT / 3 - LEADING / 2 * (len(lines) - 1)
    return "".join(text(words, 0, first + LEADING * i) for i, words in enumerate(lines))


def _row(row: Dot, y: float, along: Scale) -> str:
    beyond = row.high > along.high
    start, end = along(row.low), along(row.high)
    whisker = line(start, y, end, y, "c-whisker", stroke_width=2.2)
    caps = [line(start, y - 6, start, y + 6, "c-whisker", stroke_width=2.2)]
    caps.append(
        element(
            "path",
            d=f"M{end - 8:.1f} {y - 6:.1f}L{end:.1f} {y:.1f}L{end - 8:.1f} {y + 6:.1f}",
            class_="c-whisker",
            fill="none",
            stroke=INK,
            stroke_width=2.2,
        )
        if beyond
        else line(end, y - 6, end, y + 6, "c-whisker", stroke_width=2.2)
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
    return group("c-row", (whisker, *caps, dot, text(row.note, WIDTH, y + TEXT / 3, "end")))
