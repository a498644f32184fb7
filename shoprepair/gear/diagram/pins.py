"""Pins: a knot at the exact point, a short thread, and a numbered tag that covers no other tag."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, hypot, radians, sin

from django.utils.translation import gettext

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.svg import at, element, group
from shoprepair.gear.diagram.view import View
from shoprepair.mechanics.description import Band, Element

TAG_SHARE = 0.044
"""Height of a tag over the drawing's width; less where many pins crowd."""
ROOMY = 8
"""Up to so many pins the tags keep their full size."""
SLIM = 1.3
"""Width of a tag over its height, for one or two figures."""
RINGS = (1.25, 1.7, 2.3, 3.0, 3.8, 4.8, 6.0, 7.5)
"""Lengths of thread that are tried, in tag heights, the shortest first."""
ANGLES = (-90, -65, -115, -40, -140, -15, -165, 10, 170, 40, 140, 65, 115, 90)
"""Directions that are tried, in degrees from the right: above first, below last."""
_STEPS = tuple(step / 12 for step in range(13))


@dataclass(frozen=True, slots=True)
class Pin:
    """One numbered damage on the drawing."""

    number: int
    x_m: float
    y_m: float
    band: Band | str = ""
    label: str = ""
    href: str = ""
    """Where a tap on the tag leads; empty: nowhere."""
    element: Element | None = None
    """What the pin lies on; the strength plot draws only those on the leading edge when this is told."""
    load_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class Box:
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: "Box") -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, x: float, y: float) -> bool:
        return self.left < x < self.right and self.top < y < self.bottom

    @property
    def middle(self) -> Point:
        return Point((self.left + self.right) / 2, (self.top + self.bottom) / 2)


@dataclass(frozen=True, slots=True)
class Placed:
    """A pin and the box of its tag."""

    pin: Pin
    box: Box


def place(pins: Sequence[Pin], view: View, share: float = TAG_SHARE) -> list[Placed]:
    """Find each tag a place by its number: nearest free one, never over another tag nor off the sheet."""
    height = tag_height(len(pins), view, share)
    placed: list[Placed] = []
    for pin in sorted(pins, key=lambda p: p.number):
        placed.append(Placed(pin, _box_for(pin, pins, placed, height, view)))
    return placed


def tag_height(count: int, view: View, share: float = TAG_SHARE) -> float:
    """Height of a tag in the sheet's units."""
    crowd: float = (ROOMY / max(count, ROOMY)) ** 0.35
    return share * view.width_m * crowd


def _box_for(pin: Pin, pins: Sequence[Pin], placed: list[Placed], height: float, view: View) -> Box:
    """The nearest place whose thread is clear of all others; else the nearest free one, else any."""
    nearest = None
    for box in _candidates(pin, height, view):
        roomy = _grown(box, 0.12 * height)
        if any(roomy.overlaps(other.box) for other in placed):
            continue
        nearest = nearest or box
        if not any(box.holds(p.x_m, p.y_m) for p in pins) and not _tangled(pin, box, placed):
            return box
    return nearest or _anywhere(pin, placed, height, view)


def _candidates(pin: Pin, height: float, view: View) -> Iterator[Box]:
    width = height * (SLIM if pin.number < 100 else SLIM * 1.35)
    for ring in RINGS:
        for angle in ANGLES:
            x = pin.x_m + ring * height * cos(radians(angle))
            y = pin.y_m + ring * height * sin(radians(angle))
            box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
            if view.holds(box.left, box.top, box.right, box.bottom):
                yield box


def _grown(box: Box, by: float) -> Box:
    return Box(box.left - by, box.top - by, box.right + by, box.bottom + by)


def _tangled(pin: Pin, box: Box, placed: list[Placed]) -> bool:
    """Whether the thread would run over another tag or across another thread."""
    here, there = Point(pin.x_m, pin.y_m), box.middle
    for other in placed:
        knot = Point(other.pin.x_m, other.pin.y_m)
        if _cross(here, there, knot, other.box.middle) or _through(here, there, other.box):
            return True
        if _through(knot, other.box.middle, box):
            return True
    return False


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m)


def _through(a: Point, b: Point, box: Box) -> bool:
    """Whether one of thirteen points from end to end of a thread lies in the box."""
    beside = max(a.x_m, b.x_m) <= box.left or min(a.x_m, b.x_m) >= box.right
    if beside or max(a.y_m, b.y_m) <= box.top or min(a.y_m, b.y_m) >= box.bottom:
        return False
    return any(box.holds(a.x_m + s * (b.x_m - a.x_m), a.y_m + s * (b.y_m - a.y_m)) for s in _STEPS)


def _anywhere(pin: Pin, placed: list[Placed], height: float, view: View) -> Box:
    """The nearest free place of a grid over the whole sheet, for a crowd round one point."""
    width = height * SLIM * 1.35
    across, down = int(view.width_m / width / 1.1), int(view.height_m / height / 1.1)
    grid = [
        Box(x, y, x + width, y + height)
        for x in (view.x_m + i * view.width_m / across for i in range(across))
        for y in (view.y_m + j * view.height_m / down for j in range(down))
    ]
    free = [box for box in grid if not any(box.overlaps(other.box) for other in placed)] or grid
    return min(free, key=lambda b: hypot(b.middle.x_m - pin.x_m, b.middle.y_m - pin.y_m))


def draw(pins: Sequence[Pin], view: View, share: float = TAG_SHARE) -> str:
    """All pins: threads first, then knots, then tags, so that no tag is struck through."""
    placed = place(pins, view, share)
    height = tag_height(len(pins), view, share)
    threads = "".join(_thread(p, height) for p in placed)
    knots = "".join(_knot(p, height) for p in placed)
    tags = "".join(_tag(p, height) for p in placed)
    pen = view.pen_m
    return (
        group(
            "threads", [threads], fill="none", stroke="#15252b", stroke_width=1.6 * pen, pointer_events="none"
        )
        + group(
            "knots", [knots], fill="#15252b", stroke="#fffdf8", stroke_width=1.2 * pen, pointer_events="none"
        )
        + group("tags", [tags], font_family="Atkinson Hyperlegible Next, sans-serif", font_weight="700")
    )


def _thread(placed: Placed, height: float) -> str:
    knot, hole = Point(placed.pin.x_m, placed.pin.y_m), _eye(placed, height)
    sag = Point((knot.x_m + hole.x_m) / 2, (knot.y_m + hole.y_m) / 2 + 0.12 * height)
    return element("path", d=f"M{at(knot)}Q{at(sag)} {at(hole)}")


def _eye(placed: Placed, height: float) -> Point:
    """Where the thread is tied: an eyelet on the edge that faces the knot."""
    box, knot, corner = placed.box, placed.pin, 0.3 * height
    if box.left <= knot.x_m <= box.right:
        x = min(max(knot.x_m, box.left + corner), box.right - corner)
        return Point(x, box.top if knot.y_m < box.top else box.bottom)
    x = box.left if knot.x_m < box.left else box.right
    return Point(x, min(max(knot.y_m, box.top + corner), box.bottom - corner))


def _knot(placed: Placed, height: float) -> str:
    return element("circle", cx=placed.pin.x_m, cy=placed.pin.y_m, r=0.13 * height)


def _tag(placed: Placed, height: float) -> str:
    box, pin, eye = placed.box, placed.pin, _eye(placed, height)
    fill, ink, edge = _TONES.get(band_class(pin.band), _TONES["unknown"])
    body = element(
        "rect",
        x=box.left,
        y=box.top,
        width=box.right - box.left,
        height=box.bottom - box.top,
        rx=0.26 * height,
        fill=fill,
        stroke="#15252b",
        stroke_width=edge * height,
    ) + element(
        "text",
        str(pin.number),
        x=box.middle.x_m,
        y=box.middle.y_m + 0.23 * height,
        font_size=0.64 * height,
        text_anchor="middle",
        fill=ink,
    )
    ring = element(
        "circle",
        class_="eye",
        cx=eye.x_m,
        cy=eye.y_m,
        r=0.09 * height,
        fill="#fffdf8",
        stroke="#15252b",
        stroke_width=0.05 * height,
    )
    tag = element(
        "g",
        body + ring,
        class_=f"pin band-{band_class(pin.band)}",
        data_pin=str(pin.number),
        role=None if pin.href else "img",
        aria_label=pin.label or gettext("Damage %(number)s") % {"number": pin.number},
    )
    return element("a", tag, href=pin.href, class_="pin-link") if pin.href else tag


_TONES = {
    "grounded": ("#15252b", "#ffffff", 0.09),
    "repair-first": ("#fffdf8", "#15252b", 0.13),
    "next-service": ("#fffdf8", "#15252b", 0.07),
    "watch": ("#fffdf8", "#15252b", 0.04),
    "unknown": ("#fffdf8", "#15252b", 0.07),
}
"""Fill, figure and weight of the edge over the tag's height: dark, heavy, plain, fine."""


def band_class(band: Band | str) -> str:
    """'repair-first' for Band.REPAIR_FIRST; 'unknown' for none."""
    return str(band).lower().replace(" ", "-") or "unknown"
