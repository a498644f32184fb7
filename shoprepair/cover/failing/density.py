"""Damages heaped on the drawing: counted in the database by place, drawn as one mark for each small area.

Places are told by element, side, station and share, so that damages of gear of different size lie on one
drawing. What is drawn grows with the area of the drawing, never with the number of damages.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from math import ceil, sqrt

from django.db.models import Count, F, IntegerField
from django.db.models.functions import Floor
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shoprepair.cover.failing.asked import Asked, damages
from shoprepair.gear import geometry
from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import canopy
from shoprepair.gear.diagram.sheet import WHOLE
from shoprepair.gear.diagram.view import view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.mechanics.description import Element, Place
from shoprepair.shop.charts import Table, cell, plain, table
from shoprepair.shop.charts.svg import element, group, number
from shoprepair.shop.languages import gettext_lazy

STATIONS, SHARES = 64, 24
"""Into how many parts a half span and a chord are counted."""
COLUMNS = 52
"""Small areas across the drawing: one mark in each."""
FILLED = 0.98
"""How much of its area the fullest mark takes."""
ROUND = tuple(mantissa * 10**power for power in range(6) for mantissa in (1, 2, 5))
LEVELS, SMALLEST = 12, 2
INK = "#15252b"


@dataclass(frozen=True, slots=True)
class Heap:
    """How many damages lie on one small part of the gear."""

    kind: str
    """wing or kite."""
    element: str
    side: str
    strut: int | None
    station: float
    fraction: float
    count: int


def heaps(asked: Asked) -> list[Heap]:
    """The damages asked about, counted by place in one statement."""
    rows = (
        damages(asked)
        .annotate(
            across=_part("station", STATIONS),
            aft=_part("fraction", SHARES),
        )
        .values_list("job__inflatable__pattern__kind", "element", "side", "strut", "across", "aft")
        .annotate(n=Count("id"))
    )
    return [
        Heap(kind, element, side, strut, _middle(across, STATIONS), _middle(aft, SHARES), n)
        for kind, element, side, strut, across, aft, n in rows
    ]


def _part(field: str, parts: int) -> Floor:
    return Floor(F(field) * parts, output_field=IntegerField())


def _middle(part: float, parts: int) -> float:
    return min((int(part) + 0.5) / parts, 1.0)


@dataclass(frozen=True, slots=True)
class Mark:
    """One small area of the drawing with damages on it, at their common centre."""

    at: Point
    count: int


def marks(planform: Planform, of: Iterable[Heap]) -> list[Mark]:
    """The heaps gathered on a planform's drawing, the fullest area first."""
    sheet = view(shape(planform))
    size = sheet.width_m / COLUMNS
    areas: dict[tuple[int, int], list[tuple[Point, int]]] = defaultdict(list)
    for heap in of:
        on = geometry.point(planform, _place(planform, heap))
        areas[(round(on.x_m / size), round(on.y_m / size))].append((on, heap.count))
    return sorted((_mark(lying) for lying in areas.values()), key=lambda mark: -mark.count)


def _place(planform: Planform, heap: Heap) -> Place:
    """The heap's place on this planform; a strut is the one that stands nearest to where its own stood."""
    centre = heap.side == "centre"
    strut = None
    if heap.strut is not None and planform.struts:
        station = 0.0 if centre else heap.station
        strut = min(range(len(planform.struts)), key=lambda i: (abs(planform.struts[i].station - station), i))
    return Place(
        element=Element(heap.element),
        station=0.0 if centre else heap.station,
        side="centre" if strut is not None and planform.struts[strut].is_centre else heap.side,
        strut=strut,
        fraction=heap.fraction,
    )


def _mark(lying: Sequence[tuple[Point, int]]) -> Mark:
    count = sum(n for _, n in lying)
    x = sum(on.x_m * n for on, n in lying) / count
    y = sum(on.y_m * n for on, n in lying) / count
    return Mark(Point(x, y), count)


def level(count: int, most: int) -> int:
    """The step of diameter that a mark is drawn with: its area grows with its count."""
    return max(ceil(LEVELS * sqrt(count / most) - 1e-9), SMALLEST)


def samples(most: int) -> list[int]:
    """Counts that the key shows: one, the fullest mark, and round ones between that look different."""
    between = [step for step in ROUND if 2 <= step < 0.7 * most]
    chosen = [max((s for s in between if s <= share * most), default=1) for share in (0.04, 0.3)]
    return sorted({1, *chosen, most})


def draw(planform: Planform, of: Sequence[Mark], *, title: str, unique: str, kept: str) -> SafeString:
    """The marks on the pale drawing of a planform, as <svg> in metres.

    `kept` begins the address of each shape in a file of its own (`gear.kept_drawings`).
    """
    sheet = view(shape(planform))
    widest = FILLED * sheet.width_m / COLUMNS
    most = max((mark.count for mark in of), default=1)
    body = (
        element("title", escape(title), id=f"{unique}-title")
        + group("density-cloth", [element("use", href=f"{kept}{WHOLE}")], opacity=0.5)
        # Once more, for what is pale is not read.
        + canopy.side_words(shape(planform), sheet, (gettext("left"), gettext("right")))
        + group("density-marks", _paths(of, most, widest), fill="none", stroke_linecap="round")
    )
    whole = element(
        "svg",
        body,
        xmlns="http://www.w3.org/2000/svg",
        class_="diagram is-paper density",
        id=unique,
        viewBox=sheet.box,
        role="img",
        aria_labelledby=f"{unique}-title",
        stroke_linejoin="round",
        font_family="Atkinson Hyperlegible Next, sans-serif",
    )
    return mark_safe(whole)  # noqa: S308


def _paths(of: Sequence[Mark], most: int, widest: float) -> list[str]:
    """One path for all marks of a size: a dot is a stroke of next to no length with a round end."""
    dots: dict[int, list[str]] = defaultdict(list)
    for mark in of:
        dots[level(mark.count, most)].append(f"M{number(mark.at.x_m)} {number(mark.at.y_m)}h.001")
    return [_dots("".join(dots[size]), size, widest) for size in sorted(dots, reverse=True)]


def _dots(d: str, size: int, widest: float) -> str:
    wide = round(size / LEVELS * widest, 4)
    return element("path", d=d, class_="density-mark", stroke=INK, stroke_width=wide)


@dataclass(frozen=True, slots=True)
class Sample:
    """A mark of the key: what it stands for, its room over the drawing's width, its radius in that room."""

    words: str
    room: str
    radius: float


def key(of: Sequence[Mark]) -> list[Sample]:
    """What the sizes of the marks stand for, from one damage up to the fullest mark."""
    most = max((mark.count for mark in of), default=1)
    room = f"{100 / COLUMNS:.3f}%"
    return [Sample(plain(n), room, round(FILLED * level(n, most) / LEVELS / 2, 3)) for n in samples(most)]


def _percent(value: float) -> str:
    return f"{plain(round(value, 1))}\N{NO-BREAK SPACE}%"


THIRDS = (gettext_lazy("centre third"), gettext_lazy("middle third"), gettext_lazy("tip third"))


def counted(of: Sequence[Heap]) -> Table:
    """The same damages as a table: by part of the gear, third of the half span and side."""
    every = sum(heap.count for heap in of)
    rows = []
    for part in dict.fromkeys(e.value for e in Element):
        here = [heap for heap in of if heap.element == part]
        if not here:
            continue
        thirds = [sum(h.count for h in here if min(int(h.station * 3), 2) == third) for third in range(3)]
        sides = [sum(h.count for h in here if h.side == side) for side in ("left", "centre", "right")]
        total = sum(thirds)
        rows.append([gettext(part), *map(str, [*thirds, *sides, total]), cell(100 * total / every, _percent)])
    sides_said = [gettext("left"), gettext("middle"), gettext("right")]
    head = [gettext("part"), *map(str, THIRDS), *sides_said, gettext("all"), gettext("share, %%") % {}]
    return table(head, rows)
