"""Upright bars in groups: amounts side by side, as by week."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from shoprepair.shop.charts.chart import Chart, Say, cell, table, with_unit
from shoprepair.shop.charts.scale import Scale, across, ticks
from shoprepair.shop.charts.sheet import (
    INK,
    NARROW,
    WIDTH,
    Box,
    Key,
    baseline,
    cut,
    fill,
    left_room,
    legend,
    rect,
    svg,
    text,
    upright,
    width_of,
)
from shoprepair.shop.charts.svg import group

TALL = 240.0
FOOT = 40.0
GAP = 0.28
"""Share of a group's room that stays free between groups."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One group of bars: what it stands for, and a value for each series."""

    label: str
    values: Sequence[float]


def bars(
    rows: Sequence[Bar],
    series: Sequence[str],
    *,
    title: str,
    unique: str,
    unit: str = "",
    say: Say | None = None,
    of: str = "",
) -> Chart:
    """Groups of upright bars, a hatch for each series, from a line at nought.

    `unit` stands behind the values, unless `say` writes them otherwise; `of` heads the table's first column;
    `unique` begins every id.
    """
    write = say or with_unit(unit)
    cells = [[row.label, *(cell(float(value), write) for value in row.values)] for row in rows]
    return Chart(
        _drawn(rows, series, write, title, unique),
        table([of, *series], cells),
        title,
        unique,
        _drawn(rows, series, write, title, f"{unique}-narrow", NARROW),
    )


def _drawn(
    rows: Sequence[Bar], series: Sequence[str], write: Say, title: str, unique: str, width: float = WIDTH
) -> SafeString:
    values = [float(value) for row in rows for value in row.values]
    counted = all(value.is_integer() for value in values)
    marks = ticks(min([0.0, *values]), max([0.0, *values]), whole=counted)
    key, top = _legend(series, unique, width)
    labels = [write(mark) for mark in marks]
    box = Box(left_room(labels), top + 10, width - 8, top + 10 + TALL)
    up = across(marks, box.bottom, box.top)
    body = (
        key
        + upright(box, up, marks, labels)
        + group("c-bars", _bars(rows, box, up, unique))
        + baseline(box, up(0))
        + group("c-labels", _labels(rows, box))
    )
    return svg(body, box.bottom + FOOT, title, unique, kind="bars", width=width)


def _legend(series: Sequence[str], unique: str, width: float) -> tuple[str, float]:
    if len(series) < 2:
        return "", 0.0
    keys = [
        Key(name, rect(0, 0, 26, 14, "c-bar", fill=fill(unique, i), stroke=INK, stroke_width=1.2))
        for i, name in enumerate(series)
    ]
    return legend(keys, 8, width - 8)


def _slot(rows: Sequence[Bar], box: Box) -> float:
    return (box.right - box.left) / max(len(rows), 1)


def _bars(rows: Sequence[Bar], box: Box, up: Scale, unique: str) -> Iterator[str]:
    slot = _slot(rows, box)
    for place, row in enumerate(rows):
        wide = min(slot * (1 - GAP) / max(len(row.values), 1), 44.0)
        left = box.left + (place + 0.5) * slot - wide * len(row.values) / 2
        for i, value in enumerate(row.values):
            ends = sorted((up(0), up(float(value))))
            yield (
                rect(
                    left + i * wide,
                    ends[0],
                    wide * 0.94,
                    ends[1] - ends[0],
                    "c-bar",
                    fill=fill(unique, i),
                    stroke=INK,
                    stroke_width=1.2,
                )
                if value
                else ""
            )


def _labels(rows: Sequence[Bar], box: Box) -> Iterator[str]:
    """Words under the groups; every second or third where they would touch, the last one always."""
    slot = _slot(rows, box)
    widest = max((width_of(row.label) for row in rows), default=0.0) + 8
    every = max(1, min(-int(-widest // slot), 4))
    for place, row in enumerate(rows):
        if (len(rows) - 1 - place) % every == 0:
            said = cut(row.label, slot * every - 4)
            middle = min(box.left + (place + 0.5) * slot, box.right + 8 - width_of(said) / 2)
            yield text(said, middle, box.bottom + 24, "middle")
