"""A patch drawn to scale: seen from outside with its rows, and cut through with its plies.

Classes carry the screen's colours; the attributes alone make a picture that a grey printer can print.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from shoprepair.gear.diagram.svg import element, group, number
from shoprepair.pricing.layup import BETWEEN_ROWS_M, EDGE_M, Layup
from shoprepair.shop.units import Units, say_length

WIDE, TALL = 420, 330
"""The sheet, in its own steps of about a pixel."""
LEFT, TOP = 26, 22
PLAN_WIDE, PLAN_TALL = 300, 170
SECTION_AT = 272
PLY = 7
"""Thickness of a ply in the cut; cloth itself would be too thin to see."""
WORDS = 17
INK = "#222"


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Where the middle of the patch lies and how many steps a metre is."""

    layup: Layup
    scale: float
    x: float = LEFT + PLAN_WIDE / 2
    y: float = TOP + PLAN_TALL / 2

    @property
    def wide(self) -> float:
        return self.layup.outline_m[0] * self.scale

    @property
    def tall(self) -> float:
        return self.layup.outline_m[1] * self.scale


def draw(layup: Layup, *, extent_m: tuple[float, float], units: Units, title: str = "") -> SafeString:
    """The patch as an <svg>: its outline to scale over the damage, and its plies inside and outside.

    extent_m: the damage along the tube and around it, m. Its measures are written in the reader's units.
    """
    along, around = layup.outline_m
    sheet = _Sheet(layup, min(PLAN_WIDE / along, PLAN_TALL / around))
    parts = [
        group("patch-plan", _plan(sheet, extent_m)),
        group("patch-measures", _measures(sheet, units)),
        group("patch-section", _section(sheet, extent_m[0])),
    ]
    return mark_safe(  # noqa: S308 - every word in it is escaped by `element`
        element(
            "svg",
            "".join(parts),
            class_="patch",
            viewBox=f"0 0 {WIDE} {TALL}",
            role="img",
            aria_label=title or _said(layup, units),
            focusable="false",
        )
    )


def _said(layup: Layup, units: Units) -> str:
    along, around = (say_length(side, units) for side in layup.outline_m)
    return (
        f"Patch of {along} along the tube by {around} around it, {layup.plies_inside} inside and "
        f"{layup.plies_outside} outside, {layup.rows} rows along each edge"
    )


def _plan(sheet: _Sheet, extent_m: tuple[float, float]) -> Iterator[str]:
    yield _rounded(sheet, 0, "patch-cloth", fill="#eee", stroke=INK, stroke_width=2)
    for row in range(sheet.layup.rows):
        inset = EDGE_M + row * BETWEEN_ROWS_M
        yield _rounded(
            sheet, inset, "patch-row", fill="none", stroke=INK, stroke_width=1.5, stroke_dasharray="5 3.5"
        )
    yield element(
        "path", "", class_="patch-damage", d=_gash(sheet, extent_m), fill="none", stroke=INK, stroke_width=4
    )


def _rounded(sheet: _Sheet, inset_m: float, class_: str, **look: str | float) -> str:
    inset = inset_m * sheet.scale
    corner = max(0.0, sheet.layup.corner_m - inset_m) * sheet.scale
    return element(
        "rect",
        "",
        class_=class_,
        x=sheet.x - sheet.wide / 2 + inset,
        y=sheet.y - sheet.tall / 2 + inset,
        width=max(0.0, sheet.wide - 2 * inset),
        height=max(0.0, sheet.tall - 2 * inset),
        rx=corner,
        **look,
    )


def _gash(sheet: _Sheet, extent_m: tuple[float, float]) -> str:
    """The damage as a torn line over its extent; never so short that nobody sees it."""
    half_x, half_y = (max(length * sheet.scale / 2, 0.0) for length in extent_m)
    if math.hypot(half_x, half_y) < 4:
        half_x = 4
    length = math.hypot(half_x, half_y)
    sway_x, sway_y = (side / length * min(3.0, length / 4) for side in (half_y, half_x))
    steps = [
        (
            sheet.x + half_x * share - sway_x * sway,
            sheet.y - half_y * share - sway_y * sway,
        )
        for share, sway in ((-1, 0), (-0.6, 1), (-0.2, -1), (0.2, 1), (0.6, -1), (1, 0))
    ]
    return "M" + "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in steps)


def _measures(sheet: _Sheet, units: Units) -> Iterator[str]:
    """How long and how wide, on measure lines beside the patch."""
    along, around = (say_length(side, units) for side in sheet.layup.outline_m)
    left, right = sheet.x - sheet.wide / 2, sheet.x + sheet.wide / 2
    top, bottom = sheet.y - sheet.tall / 2, sheet.y + sheet.tall / 2
    yield _line(_along(left, right, bottom + 12))
    yield _line(_around(top, bottom, right + 12))
    yield _words(f"{along} along", sheet.x, bottom + 32, "middle")
    yield _words(around, right + 22, sheet.y, "start")
    yield _words("around", right + 22, sheet.y + WORDS * 1.2, "start")


def _section(sheet: _Sheet, along_m: float) -> Iterator[str]:
    """Cut through along the tube: plies outside above the torn casing, plies inside beneath it."""
    layup, left, right = sheet.layup, sheet.x - sheet.wide / 2, sheet.x + sheet.wide / 2
    gap = max(along_m * sheet.scale, 8) / 2
    y = SECTION_AT
    for start, end in ((LEFT - 14, sheet.x - gap), (sheet.x + gap, LEFT + PLAN_WIDE + 14)):
        yield _ply(start, y, end - start, "patch-casing", "#888")
    outside = [y - (n + 1) * (PLY + 3) for n in range(layup.plies_outside)]
    inside = [y + (n + 1) * (PLY + 3) for n in range(layup.plies_inside)]
    for ply in (*outside, *inside):
        yield _ply(left, ply, sheet.wide, "patch-ply", "#ccc")
    top, bottom = min((*outside, y)) - 5, max((*inside, y)) + PLY + 5
    threads = "".join(
        f"M{x:.1f} {top:.1f}V{bottom:.1f}"
        for row in range(layup.rows)
        for inset in [(EDGE_M + row * BETWEEN_ROWS_M) * sheet.scale]
        for x in (left + inset, right - inset)
    )
    yield element("path", "", class_="patch-thread", d=threads, fill="none", stroke=INK, stroke_width=1.5)
    yield _words(f"{layup.plies_outside} outside", WIDE - 2, y - 8, "end")
    yield _words(f"{layup.plies_inside} inside", WIDE - 2, y + 26, "end")


def _ply(x: float, y: float, wide: float, class_: str, tone: str) -> str:
    return element(
        "rect",
        "",
        class_=class_,
        x=x,
        y=y,
        width=max(wide, 0.0),
        height=PLY,
        rx=2,
        fill=tone,
        stroke=INK,
        stroke_width=1,
    )


def _along(left: float, right: float, y: float) -> str:
    return f"M{left:.1f} {y:.1f}H{right:.1f}M{left:.1f} {y - 5:.1f}v10M{right:.1f} {y - 5:.1f}v10"


def _around(top: float, bottom: float, x: float) -> str:
    return f"M{x:.1f} {top:.1f}V{bottom:.1f}M{x - 5:.1f} {top:.1f}h10M{x - 5:.1f} {bottom:.1f}h10"


def _line(path: str) -> str:
    return element("path", "", class_="patch-measure", d=path, fill="none", stroke=INK, stroke_width=1.25)


def _words(words: str, x: float, y: float, anchor: str) -> str:
    return (
        f'<text class="patch-words" x="{number(x, 1)}" y="{number(y, 1)}" text-anchor="{anchor}"'
        f' font-size="{WORDS}">{words}</text>'
    )
