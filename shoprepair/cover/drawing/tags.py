"""Words on the sheet: tags of covers and of the damage, the distance between them, and the scale."""

from collections.abc import Iterable, Iterator, Sequence
from math import hypot
from typing import NamedTuple

from shoprepair.cover.drawing.sheet import INK, RIGHT, TOP, WORDS, Sheet
from shoprepair.gear.diagram.svg import element, group
from shoprepair.shop.units import Units, say_length
from shoprepair.shop.units.reading import METRES

TALL = 28.0
LETTER = 11.4
"""Width of a letter, about."""
PAD = 7.0
GAP = 5.0


class Area(NamedTuple):
    left: float
    top: float
    right: float
    foot: float

    def overlaps(self, other: "Area") -> bool:
        return (
            self.left < other.right + GAP
            and other.left < self.right + GAP
            and self.top < other.foot + GAP
            and other.top < self.foot + GAP
        )

    @property
    def middle(self) -> tuple[float, float]:
        return (self.left + self.right) / 2, (self.top + self.foot) / 2


def wide(words: str) -> float:
    """Width of a tag with these words."""
    return len(words) * LETTER + 2 * PAD


def placed(sheet: Sheet, words: str, wanted: Iterable[tuple[float, float]], taken: Sequence[Area]) -> Area:
    """The first wanted place, by its middle, that lies on the sheet and covers nothing; else the first."""
    found = [_within(sheet, words, x, y) for x, y in wanted]
    return next((area for area in found if not any(area.overlaps(each) for each in taken)), found[0])


def _within(sheet: Sheet, words: str, x: float, y: float) -> Area:
    half = wide(words) / 2
    x = min(max(x, sheet.left + half + 2), sheet.left + sheet.wide - half - 2)
    y = min(max(y, TOP + TALL / 2 + 2), TOP + sheet.tall - TALL / 2 - 2)
    return Area(x - half, y - TALL / 2, x + half, y + TALL / 2)


def around(box: tuple[float, float, float, float], words: str) -> Iterator[tuple[float, float]]:
    """Places for a tag at the corners of an outline, on its edge, and then beside it."""
    left, top, right, foot = box
    half = wide(words) / 2
    for y in (top, foot):
        yield left + half + 6, y
        yield right - half - 6, y
    for y in (top - TALL, foot + TALL):
        yield (left + right) / 2, y
    for x in (left - half - GAP, right + half + GAP):
        yield x, (top + foot) / 2


def about(x: float, y: float) -> Iterator[tuple[float, float]]:
    """Places for a tag on a thread about a point: the nearest first."""
    for reach in (38, 54, 74, 100):
        for aside, up in (
            (0.7, -0.7),
            (-0.7, -0.7),
            (0.7, 0.7),
            (-0.7, 0.7),
            (0, -1),
            (0, 1),
            (1, 0),
            (-1, 0),
        ):
            yield x + 1.25 * reach * aside, y + reach * up


def cover(area: Area, words: str) -> str:
    """A cover's tag: light, with a dark edge."""
    return group("cover-tag", (_board(area, "#fff", INK), _written(area, words, INK)))


def damage(area: Area, words: str, at: tuple[float, float]) -> str:
    """The new damage's tag: dark, on a thread to the damage itself."""
    x, y = area.middle
    line = f"M{at[0]:.1f} {at[1]:.1f}L{x:.1f} {y:.1f}"
    ground = element("path", class_="damage-halo", d=line, fill="none", stroke="#fff", stroke_width=5)
    thread = element("path", class_="damage-thread", d=line, fill="none", stroke=INK, stroke_width=1.8)
    return group("damage-tag", (ground, thread, _board(area, INK, INK), _written(area, words, "#fff")))


def _board(area: Area, fill: str, stroke: str) -> str:
    return element(
        "rect",
        x=round(area.left, 1),
        y=round(area.top, 1),
        width=round(area.right - area.left, 1),
        height=TALL,
        rx=6,
        fill=fill,
        stroke=stroke,
        stroke_width=1.8,
    )


def _written(area: Area, words: str, fill: str) -> str:
    x, y = area.middle
    return element(
        "text",
        words,
        x=round(x, 1),
        y=round(y + 0.35 * WORDS, 1),
        text_anchor="middle",
        font_size=WORDS,
        font_weight="600",
        fill=fill,
    )


def measure(
    first: tuple[float, float], last: tuple[float, float], said: str, sheet: Sheet, taken: Sequence[Area]
) -> str:
    """A measured line from an outline to the damage, with its length beside it."""
    length = hypot(last[0] - first[0], last[1] - first[1])
    if length < 3:
        return ""
    u, v = (last[0] - first[0]) / length, (last[1] - first[1]) / length
    ticks = "".join(
        f"M{x - 6 * v:.1f} {y + 6 * u:.1f}L{x + 6 * v:.1f} {y - 6 * u:.1f}" for x, y in (first, last)
    )
    line = f"M{first[0]:.1f} {first[1]:.1f}L{last[0]:.1f} {last[1]:.1f}{ticks}"
    ground = element("path", class_="damage-halo", d=line, fill="none", stroke="#fff", stroke_width=5)
    drawn = element("path", class_="unrolled-measure", d=line, fill="none", stroke=INK, stroke_width=1.8)
    x, y = (first[0] + last[0]) / 2, (first[1] + last[1]) / 2
    area = placed(sheet, said, _beside(x, y, u, v, wide(said)), taken)
    return group("unrolled-distance", (ground, drawn, _plain(area, said)))


def _beside(x: float, y: float, u: float, v: float, width: float) -> Iterator[tuple[float, float]]:
    """Beside the middle of a line that runs by (u, v), then farther off, then slid toward the damage."""
    aside = (TALL / 2 + 6) * abs(u) + (width / 2 + 4) * abs(v)
    for slid, off in ((0.0, 1.0), (0.0, 1.8), (0.5, 1.0), (0.5, 1.8), (0.0, 2.6)):
        for out in (off, -off):
            yield x + out * v * aside + slid * u * width, y - out * u * aside + slid * v * TALL


def _plain(area: Area, words: str) -> str:
    """Words on a patch of cloth, so that hatching does not run through them."""
    x, y = area.middle
    ground = element(
        "rect",
        class_="unrolled-word-ground",
        x=round(area.left + 3, 1),
        y=round(area.top + 2, 1),
        width=round(area.right - area.left - 6, 1),
        height=TALL - 4,
        rx=4,
        fill="#fcfbf7",
    )
    return ground + element(
        "text",
        words,
        class_="unrolled-words",
        x=round(x, 1),
        y=round(y + 0.35 * WORDS, 1),
        text_anchor="middle",
        font_size=WORDS,
        font_weight="600",
    )


def scale(sheet: Sheet, units: Units) -> str:
    """A bar of a round length under the cloth, in four fields, light and dark."""
    length = _round_length(sheet.wide / sheet.scale, units)
    x, y = sheet.left, TOP + sheet.tall + 26
    quarter = length * sheet.scale / 4
    fields = (
        element(
            "rect",
            class_="unrolled-scale-dark" if n % 2 == 0 else "unrolled-scale-light",
            x=round(x + n * quarter, 1),
            y=round(y - 5, 1),
            width=round(quarter, 1),
            height=9,
            fill=INK if n % 2 == 0 else "#fff",
            stroke=INK,
            stroke_width=1.4,
        )
        for n in range(4)
    )
    words = element(
        "text",
        f"{length / METRES['in']:.0f} in" if units.inches else say_length(length, units),
        class_="unrolled-words",
        x=round(x + 4 * quarter + 10, 1),
        y=round(y + 0.35 * WORDS, 1),
        font_size=WORDS,
    )
    return group("unrolled-scale", (*fields, words))


def _round_length(wide_m: float, units: Units) -> float:
    """The largest round length that is no more than a quarter or so of the cloth shown."""
    steps = (1, 2, 4, 6, 8, 12, 24, 48) if units.inches else (20, 40, 50, 100, 200, 400, 500, 1000)
    unit = METRES["in"] if units.inches else METRES["mm"]
    return max((step * unit for step in steps if step * unit <= 0.28 * wide_m), default=steps[0] * unit)


def way(sheet: Sheet, said: str) -> str:
    """Where the cloth leads to, under it on the right."""
    return element(
        "text",
        said,
        class_="unrolled-words is-soft",
        x=round(sheet.left + sheet.wide - RIGHT + 4, 1),
        y=round(TOP + sheet.tall + 26 + 0.35 * WORDS, 1),
        text_anchor="end",
        font_size=WORDS,
        fill="#42525a",
    )
