"""The new damage on the sheet: a torn line, or a disc where nobody said how it runs, or a point."""

from collections.abc import Iterator, Sequence
from math import hypot

from shoprepair.cover.drawing.sheet import INK, Sheet
from shoprepair.cover.flat import Stroke
from shoprepair.gear.diagram.svg import element, group

LEAST = 5.0
"""A line shorter than this on the sheet is drawn as a point."""
TOOTH = 13.0
SWAY = 2.6
HALO = {"fill": "none", "stroke": "#fff", "stroke_width": "9", "stroke_linecap": "round"}
TORN = {"fill": "none", "stroke": INK, "stroke_width": "4", "stroke_linecap": "round"}
MAYBE = {"stroke_dasharray": "1 8"}


def damage(sheet: Sheet, lines: Sequence[Stroke]) -> str:
    """The damage: the first line is the likeliest, every other way it may lie or run is dotted."""
    parts = [part for n, line in enumerate(lines) for part in _one(sheet, line, likely=n == 0)]
    # What is likeliest lies on top.
    return group("damage", reversed(parts))


def _one(sheet: Sheet, line: Stroke, *, likely: bool) -> Iterator[str]:
    (x1, y1), (x2, y2) = sheet.point(line.a), sheet.point(line.b)
    radius = line.radius_m * sheet.scale
    look = TORN if likely else TORN | MAYBE
    if radius > LEAST:
        yield _disc(x1, y1, radius, "damage-line", look)
        yield _disc(x1, y1, radius, "damage-halo", HALO)
    elif hypot(x2 - x1, y2 - y1) > LEAST:
        path = torn((x1, y1), (x2, y2))
        yield element("path", class_="damage-line", d=path, stroke_linejoin="round", **look)
        yield element("path", class_="damage-halo", d=path, stroke_linejoin="round", **HALO)
    else:
        x, y = (x1 + x2) / 2, (y1 + y2) / 2
        yield element("circle", class_="damage-point", cx=round(x, 1), cy=round(y, 1), r=5, fill=INK)
        yield element("circle", class_="damage-halo", cx=round(x, 1), cy=round(y, 1), r=7.5, fill="#fff")


def _disc(x: float, y: float, radius: float, class_: str, look: dict[str, str]) -> str:
    return element("circle", class_=class_, cx=round(x, 1), cy=round(y, 1), r=round(radius, 1), **look)


def torn(start: tuple[float, float], end: tuple[float, float]) -> str:
    """A torn line from one point to another: its ends are exact, between them it sways by a pen's width."""
    u, v = end[0] - start[0], end[1] - start[1]
    length = hypot(u, v)
    teeth = max(2, round(length / TOOTH))
    points = [start]
    for tooth in range(1, teeth):
        sway = SWAY * (1 if tooth % 2 else -1)
        share = tooth / teeth
        points.append((start[0] + u * share - v / length * sway, start[1] + v * share + u / length * sway))
    points.append(end)
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
