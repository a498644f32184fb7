"""A falling stair with its band, and under it how many are still at risk: survival over time."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.shop.charts.chart import Chart, Say, Table, cell, plain, table
from shoprepair.shop.charts.scale import Scale, across, ticks
from shoprepair.shop.charts.sheet import (
    INK,
    LINE,
    NARROW,
    SOFT,
    TEXT,
    WIDTH,
    Box,
    Key,
    baseline,
    left_room,
    legend,
    level,
    line,
    rect,
    svg,
    text,
    upright,
    width_of,
)
from shoprepair.shop.charts.svg import element, group, number
from shoprepair.shop.languages import gettext_lazy

TALL = 270.0
MOST_STROKES = 40
AT_RISK = gettext_lazy("at risk")


@dataclass(frozen=True, slots=True)
class Step:
    """From this time on the share is `value`, between `low` and `high`."""

    time: float
    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Stair:
    """A stair that begins at 1 and time 0, and ends where nobody was watched any longer."""

    steps: Sequence[Step]
    end: float
    ends: Sequence[float] = ()
    """Times at which a life ended for another reason: short strokes on the line."""
    lives: Sequence[float] = ()
    """How long each life was watched, from which follows how many are still at risk."""


def percent(value: float) -> str:
    return f"{plain(round(value * 100, 1))}\N{NO-BREAK SPACE}%"


def steps(
    stair: Stair,
    *,
    title: str,
    unique: str,
    of: str,
    band: str,
    say: Say = percent,
    when: Say = plain,
    lowest: float = 0.0,
) -> Chart:
    """The stair on a sheet whose upright axis begins at `lowest`; `of` names the level axis with its unit.

    `band` names what the grey band is.
    """
    stair = replace(stair, ends=_apart(stair.ends, stair.end))
    frame = Frame(title, unique, of, band, say, when, lowest)
    return Chart(
        _drawn(stair, frame),
        _table(stair, of, say, when),
        title,
        unique,
        _drawn(stair, replace(frame, unique=f"{unique}-narrow"), NARROW),
    )


@dataclass(frozen=True, slots=True)
class Frame:
    """The words around a stair, and where its upright axis begins."""

    title: str
    unique: str
    of: str
    band: str
    say: Say
    when: Say
    lowest: float


def _drawn(stair: Stair, frame: Frame, width: float = WIDTH) -> SafeString:
    along_marks = ticks(0.0, stair.end or 1.0, 6 if width == WIDTH else 4)
    up_marks = ticks(frame.lowest, 1.0, 5)
    labels = [frame.say(mark) for mark in up_marks]
    key, top = _legend(frame.band, width, strokes=bool(stair.ends))
    beside = left_room([str(AT_RISK)]) + width_of(plain(len(stair.lives))) / 2
    room = max(left_room(labels), beside if width == WIDTH else 0.0)
    box = Box(room, top + 10, width - 24, top + 10 + TALL)
    along, up = across(along_marks, box.left, box.right), across(up_marks, box.bottom, box.top)
    body = (
        key
        + upright(box, up, up_marks, labels)
        + _band(stair, along, up)
        + _line(stair, along, up)
        + _ends(stair, along, up)
        + baseline(box, box.bottom)
        + level(box, along, along_marks, [frame.when(mark) for mark in along_marks])
        + text(frame.of, box.right, box.bottom + 8 + TEXT + LINE, "end", "c-word c-soft")
        + _risk(stair, box, along, along_marks, over=width < WIDTH)
    )
    height = box.bottom + 8 + TEXT + LINE + ((2 + (width < WIDTH)) * LINE if stair.lives else 12)
    return svg(body, height, frame.title, frame.unique, kind="steps", width=width)


def _apart(ends: Sequence[float], end: float) -> Sequence[float]:
    """Ends that are told apart as strokes; none where so many would only thicken the line."""
    places = {round(120 * time / end): time for time in ends} if end else {}
    return sorted(places.values()) if len(places) <= MOST_STROKES else ()


def _legend(band: str, width: float, *, strokes: bool) -> tuple[str, float]:
    share = line(0, 7, 26, 7, "c-stair", stroke_width=3)
    grey = rect(0, 0, 26, 14, "c-band", fill=SOFT, fill_opacity=0.3)
    stroke = line(13, 1, 13, 13, "c-end", stroke_width=1.6)
    keys = [Key(gettext("still holds"), share), Key(band, grey)]
    if strokes:
        keys.append(Key(gettext("watched no longer"), stroke))
    return legend(keys, 8, width - 8)


def _table(stair: Stair, of: str, say: Say, when: Say) -> Table:
    rows = [(cell(s.time, when), *(cell(v, say) for v in (s.value, s.low, s.high))) for s in stair.steps]
    return table((of, "holds", gettext("at least"), gettext("at most")), rows)


def _corners(points: Sequence[tuple[float, float]], end: float) -> Iterator[tuple[float, float]]:
    """The corners of a stair through (time, value), level from each time to the next."""
    for (time, value), (after, _) in pairwise([*points, (end, 0.0)]):
        yield time, value
        yield after, value


def _path(corners: Sequence[tuple[float, float]], along: Scale, up: Scale) -> str:
    return "L".join(f"{number(along(t), 1)} {number(up(v), 1)}" for t, v in corners)


def _line(stair: Stair, along: Scale, up: Scale) -> str:
    corners = list(_corners([(0.0, 1.0), *((s.time, s.value) for s in stair.steps)], stair.end))
    d = f"M{_path(corners, along, up)}"
    return element(
        "path", d=d, class_="c-stair", fill="none", stroke=INK, stroke_width=3, stroke_linejoin="miter"
    )


def _band(stair: Stair, along: Scale, up: Scale) -> str:
    if not stair.steps:
        return ""
    highs = list(_corners([(s.time, s.high) for s in stair.steps], stair.end))
    lows = list(_corners([(s.time, s.low) for s in stair.steps], stair.end))
    d = f"M{_path([*highs, *reversed(lows)], along, up)}Z"
    edges = "".join(f"M{_path(side, along, up)}" for side in (highs, lows))
    return element("path", d=d, class_="c-band", fill=SOFT, fill_opacity=0.3) + element(
        "path",
        d=edges,
        class_="c-band-edge",
        fill="none",
        stroke=INK,
        stroke_width=1,
        stroke_dasharray="4 3",
    )


def _ends(stair: Stair, along: Scale, up: Scale) -> str:
    strokes = [
        f"M{number(along(time), 1)} {number(up(_value(stair, time)) - 6, 1)}v12" for time in stair.ends
    ]
    if not strokes:
        return ""
    return element("path", d="".join(strokes), class_="c-end", fill="none", stroke=INK, stroke_width=1.6)


def _value(stair: Stair, time: float) -> float:
    return next((s.value for s in reversed(stair.steps) if s.time <= time), 1.0)


def _risk(stair: Stair, box: Box, along: Scale, marks: Sequence[float], *, over: bool) -> str:
    """The numbers at risk under the ticks, and beside or over them what they are."""
    if not stair.lives:
        return ""
    y = box.bottom + 8 + TEXT + 2 * LINE
    first = width_of(plain(len(stair.lives))) / 2 + 10
    named = (
        text(str(AT_RISK), 0, y, "start", "c-word c-soft")
        if over
        else (text(str(AT_RISK), box.left - first, y, "end", "c-word c-soft"))
    )
    y += LINE if over else 0
    counts = [
        text(plain(sum(life >= mark for life in stair.lives)), along(mark), y, "middle")
        for mark in marks
        if mark <= stair.end
    ]
    return group("c-risk", (named, *counts))
