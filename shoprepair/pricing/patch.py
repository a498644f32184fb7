"""A repair drawn to scale: seen from outside with its stitches, and cut through with its plies.

Classes carry the screen's colours; the attributes alone make a picture that a grey printer can print.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import wrap

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext, ngettext

from shoprepair.gear.diagram.svg import element, group, number
from shoprepair.pricing.layup import BETWEEN_ROWS_M, EDGE_M, Layup
from shoprepair.pricing.resewing import BEYOND_M, TAPE_WIDE_M, Seam
from shoprepair.pricing.tape import Tape
from shoprepair.shop.units import Units, say_length

Sized = Layup | Tape | Seam

WIDE, TALL = 440, 340
"""The sheet, in its own steps of about a pixel."""
LEFT, TOP = 26, 22
PLAN_WIDE, PLAN_TALL = 288, 170
SECTION_BELOW = 92
"""From the plan to its cut, with the measure between them."""
SEAM_TALL = 52.0
"""A seam's strip is as tall as it needs to be seen: one of a metre would else be a hair."""
PLY = 7
"""Thickness of a ply in the cut; cloth itself would be too thin to see."""
WORDS = 21
LETTERS = 11
"""So many stand beside the outline in a line of words before the sheet ends."""
INK = "#222"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    """What is drawn, whatever kind of repair it is. Lengths in m."""

    outline_m: tuple[float, float]
    damage_m: tuple[float, float]
    corner_m: float
    outside: int
    inside: int
    rows_in_m: tuple[float, ...]
    """How far inside the outline each row runs; none where adhesive holds."""
    sides: tuple[str, str]
    """What the two sides of the outline are called."""
    said: str
    least_tall: float = 0.0

    @property
    def scale(self) -> float:
        """Steps of the sheet per metre."""
        return min(PLAN_WIDE / self.outline_m[0], PLAN_TALL / self.outline_m[1])

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the outline on the sheet."""
        wide, tall = (side * self.scale for side in self.outline_m)
        tall = max(tall, self.least_tall)
        left, top = MIDDLE_X - wide / 2, MIDDLE_Y - tall / 2
        return left, top, left + wide, top + tall

    @property
    def section(self) -> float:
        """Where the cut lies under the plan."""
        return self.box[3] + SECTION_BELOW

    @property
    def sheet(self) -> str:
        """Of the sheet what is drawn on: a narrow strip leaves nothing empty above and under it."""
        _, top, _, bottom = self.box
        return f"0 {number(top - TOP, 1)} {WIDE} {number(TALL - PLAN_TALL + bottom - top, 1)}"


MIDDLE_X, MIDDLE_Y = LEFT + PLAN_WIDE / 2, TOP + PLAN_TALL / 2


def draw(sized: Sized, units: Units, *, on_a_tube: bool) -> SafeString:
    """A patch, tape or resewn seam as an <svg>: its outline to scale over the damage, and its plies.

    Its measures are written in the reader's units; its name for a screen reader says the same in words.
    """
    sides = _around_a_tube() if on_a_tube else _over_the_canopy()
    cut = (
        _patch(sized, sides)
        if isinstance(sized, Layup)
        else _tape(sized, sides)
        if isinstance(sized, Tape)
        else _seam(sized)
    )
    seam = isinstance(sized, Seam)
    parts = [
        group("patch-plan", _seam_plan(cut, sized.tapes) if isinstance(sized, Seam) else _plan(cut)),
        group("patch-measures", _measures(cut, units, lengthwise_only=seam)),
        group("patch-section", _seam_section(cut) if seam else _section(cut)),
    ]
    return mark_safe(  # noqa: S308 - made of figures and of words that stand in this module
        element(
            "svg",
            "".join(parts),
            class_="patch",
            viewBox=cut.sheet,
            role="img",
            aria_label=_said(cut, units),
            focusable="false",
        )
    )


def _around_a_tube() -> tuple[str, str]:
    return gettext("%(length)s along"), gettext("%(length)s around")


def _over_the_canopy() -> tuple[str, str]:
    """Nothing goes around a canopy: a patch on it lies as its tear is described."""
    return gettext("%(length)s along the span"), gettext("%(length)s from front to back")


def _patch(layup: Layup, sides: tuple[str, str]) -> _Cut:
    plies = gettext("%(plies_inside)s inside and %(plies_outside)s outside") % {
        "plies_inside": layup.plies_inside,
        "plies_outside": layup.plies_outside,
    }
    return _Cut(
        outline_m=layup.outline_m,
        damage_m=_within(layup.outline_m, layup.overlap_m),
        corner_m=layup.corner_m,
        outside=layup.plies_outside,
        inside=layup.plies_inside,
        rows_in_m=_rows(layup.rows),
        sides=sides,
        said=gettext("%(plies)s, %(rows)s rows along each edge") % {"plies": plies, "rows": layup.rows},
    )


def _tape(tape: Tape, sides: tuple[str, str]) -> _Cut:
    return _Cut(
        outline_m=tape.outline_m,
        damage_m=_within(tape.outline_m, tape.overlap_m),
        corner_m=tape.corner_m,
        outside=1,
        inside=tape.faces - 1,
        rows_in_m=(),
        sides=sides,
        said=gettext("stuck on both faces") if tape.faces == 2 else gettext("stuck on one face"),
    )


def _seam(seam: Seam) -> _Cut:
    """Rows beside one another in the middle of a strip as wide as its tapes would be."""
    first = TAPE_WIDE_M / 2 - BETWEEN_ROWS_M * (seam.rows - 1) / 2
    return _Cut(
        outline_m=(seam.length_m, TAPE_WIDE_M),
        damage_m=(max(0.0, seam.length_m - 2 * BEYOND_M), 0.0),
        corner_m=0.0,
        outside=0,
        inside=seam.tapes,
        rows_in_m=tuple(first + row * BETWEEN_ROWS_M for row in range(seam.rows)),
        sides=(gettext("%(length)s sewn anew"), ""),
        said=gettext("%(rows)s rows") % {"rows": seam.rows}
        + (gettext(" over %(tapes)s strips of cloth") % {"tapes": seam.tapes} if seam.tapes else ""),
        least_tall=SEAM_TALL,
    )


def _within(outline_m: tuple[float, float], overlap_m: float) -> tuple[float, float]:
    along, around = (max(0.0, side - 2 * overlap_m) for side in outline_m)
    return along, around


def _rows(rows: int) -> tuple[float, ...]:
    return tuple(EDGE_M + row * BETWEEN_ROWS_M for row in range(rows))


def _said(cut: _Cut, units: Units) -> str:
    sides = [
        side % {"length": say_length(length, units)}
        for length, side in zip(cut.outline_m, cut.sides, strict=True)
        if side
    ]
    if len(sides) == 1:
        return f"{sides[0]}, {cut.said}"
    return gettext("%(one)s by %(other)s, %(said)s") % {"one": sides[0], "other": sides[1], "said": cut.said}


def _plan(cut: _Cut) -> Iterator[str]:
    yield _rounded(cut, 0, "patch-cloth", fill="#eee", stroke=INK, stroke_width=2)
    for inset in cut.rows_in_m:
        yield _rounded(
            cut, inset, "patch-row", fill="none", stroke=INK, stroke_width=1.5, stroke_dasharray="5 3.5"
        )
    yield _gash(cut)


def _seam_plan(cut: _Cut, tapes: int) -> Iterator[str]:
    """Rows from sound stitching to sound stitching, over the stretch that opened."""
    left, top, right, bottom = cut.box
    look = {"fill": "#eee", "stroke": INK, "stroke_width": "2" if tapes else "0.75"}
    yield element(
        "rect",
        "",
        class_="patch-cloth",
        x=left,
        y=top,
        width=right - left,
        height=bottom - top,
        **look,
    )
    yield _gash(cut)
    for row in range(len(cut.rows_in_m)):
        y = MIDDLE_Y + (row - (len(cut.rows_in_m) - 1) / 2) * 11
        yield element(
            "path",
            "",
            class_="patch-row",
            d=f"M{left:.1f} {y:.1f}H{right:.1f}",
            fill="none",
            stroke=INK,
            stroke_width=1.5,
            stroke_dasharray="5 3.5",
        )


def _rounded(cut: _Cut, inset_m: float, class_: str, **look: str | float) -> str:
    (left, top, right, bottom), inset = cut.box, inset_m * cut.scale
    return element(
        "rect",
        "",
        class_=class_,
        x=left + inset,
        y=top + inset,
        width=max(0.0, right - left - 2 * inset),
        height=max(0.0, bottom - top - 2 * inset),
        rx=max(0.0, cut.corner_m - inset_m) * cut.scale,
        **look,
    )


def _gash(cut: _Cut) -> str:
    """The damage as a torn line over its extent; never so short that nobody sees it."""
    half_x, half_y = (length * cut.scale / 2 for length in cut.damage_m)
    if math.hypot(half_x, half_y) < 4:
        half_x, half_y = 4.0, 0.0
    length = math.hypot(half_x, half_y)
    sway_x, sway_y = (side / length * min(3.0, length / 4) for side in (half_y, half_x))
    steps = [
        (MIDDLE_X + half_x * share - sway_x * sway, MIDDLE_Y - half_y * share - sway_y * sway)
        for share, sway in ((-1, 0), (-0.6, 1), (-0.2, -1), (0.2, 1), (0.6, -1), (1, 0))
    ]
    path = "M" + "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in steps)
    return element("path", "", class_="patch-damage", d=path, fill="none", stroke=INK, stroke_width=4)


def _measures(cut: _Cut, units: Units, *, lengthwise_only: bool) -> Iterator[str]:
    """How long and how wide, on measure lines beside the outline."""
    left, top, right, bottom = cut.box
    along, around = (say_length(side, units) for side in cut.outline_m)
    y, x = bottom + 12, right + 12
    yield _line(f"M{left:.1f} {y:.1f}H{right:.1f}M{left:.1f} {y - 5:.1f}v10M{right:.1f} {y - 5:.1f}v10")
    yield _words(cut.sides[0] % {"length": along}, MIDDLE_X, bottom + 36, "middle")
    if lengthwise_only:
        return
    yield _line(f"M{x:.1f} {top:.1f}V{bottom:.1f}M{x - 5:.1f} {top:.1f}h10M{x - 5:.1f} {bottom:.1f}h10")
    said = cut.sides[1] % {"length": around}
    beside = wrap(said.replace(around, "").strip(), LETTERS, break_long_words=False)
    for line, words in enumerate((around, *beside)):
        yield _words(words, right + 22, MIDDLE_Y + line * WORDS * 1.2, "start")


def _section(cut: _Cut) -> Iterator[str]:
    """Cut through: what lies outside above the torn cloth, what lies inside beneath it."""
    left, _, right, _ = cut.box
    y = cut.section
    # A ply laid on from outside alone covers cloth that is worn, not torn.
    gap = max(cut.damage_m[0] * cut.scale, 8) / 2 if cut.inside else 0
    first, last = LEFT - 14, LEFT + PLAN_WIDE + 14
    for start, end in ((first, MIDDLE_X - gap), (MIDDLE_X + gap, last)) if gap else ((first, last),):
        yield _ply(start, y, end - start, "patch-casing", "#888")
    outside = [y - (n + 1) * (PLY + 3) for n in range(cut.outside)]
    inside = [y + (n + 1) * (PLY + 3) for n in range(cut.inside)]
    for ply in (*outside, *inside):
        yield _ply(left, ply, right - left, "patch-ply", "#ccc")
    yield _threads(cut, min((*outside, y)) - 5, max((*inside, y)) + PLY + 5)
    if cut.outside:
        yield _words(gettext("%(outside)s outside") % {"outside": cut.outside}, WIDE - 2, y - 7, "end")
    if cut.inside:
        yield _words(gettext("%(inside)s inside") % {"inside": cut.inside}, WIDE - 2, y + 30, "end")


def _seam_section(cut: _Cut) -> Iterator[str]:
    """Cut across a seam: two cloths that lap, the rows through both, strips beneath where there are some."""
    y, lap = cut.section, 40 + 6 * len(cut.rows_in_m)
    yield _ply(LEFT - 14, y, MIDDLE_X + lap / 2 - LEFT + 14, "patch-casing", "#888")
    yield _ply(
        MIDDLE_X - lap / 2, y + PLY + 3, LEFT + PLAN_WIDE + 14 - MIDDLE_X + lap / 2, "patch-casing", "#888"
    )
    strips = [y + (n + 2) * (PLY + 3) for n in range(cut.inside)]
    for strip in strips:
        yield _ply(MIDDLE_X - lap, strip, 2 * lap, "patch-ply", "#ccc")
    bottom = max((*strips, y + PLY + 3)) + PLY + 5
    step = lap / (len(cut.rows_in_m) + 1)
    xs = [MIDDLE_X - lap / 2 + step * (row + 1) for row in range(len(cut.rows_in_m))]
    yield _thread("".join(f"M{x:.1f} {y - 5:.1f}V{bottom:.1f}" for x in xs))
    if cut.inside:
        yield _words(
            ngettext("%(inside)s strip", "%(inside)s strips", cut.inside) % {"inside": cut.inside},
            WIDE - 2,
            y + 36,
            "end",
        )


def _threads(cut: _Cut, top: float, bottom: float) -> str:
    left, _, right, _ = cut.box
    insets = [inset * cut.scale for inset in cut.rows_in_m]
    path = "".join(
        f"M{x:.1f} {top:.1f}V{bottom:.1f}" for inset in insets for x in (left + inset, right - inset)
    )
    return _thread(path) if path else ""


def _thread(path: str) -> str:
    return element("path", "", class_="patch-thread", d=path, fill="none", stroke=INK, stroke_width=1.5)


def _ply(x: float, y: float, wide: float, class_: str, tone: str) -> str:
    wide = max(wide, 0.0)
    look = {"fill": tone, "stroke": INK, "stroke_width": "1"}
    return element("rect", "", class_=class_, x=x, y=y, width=wide, height=PLY, rx=2, **look)


def _line(path: str) -> str:
    return element("path", "", class_="patch-measure", d=path, fill="none", stroke=INK, stroke_width=1.25)


def _words(words: str, x: float, y: float, anchor: str) -> str:
    return element("text", words, class_="patch-words", x=x, y=y, text_anchor=anchor, font_size=WORDS)
