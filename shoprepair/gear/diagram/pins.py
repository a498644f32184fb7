"""Pins: a knot at the exact point, a short thread, and a numbered tag that covers no other tag."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import hypot
from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.diagram.placing import placed
from shoprepair.gear.diagram.svg import at, element, group
from shoprepair.gear.diagram.tangles import Spot
from shoprepair.gear.diagram.view import View
from shoprepair.mechanics.description import Band, Element

TAG_SHARE = 0.044
"""Height of a tag over the drawing's width; less where many pins crowd."""
ROOMY = 12
SIZES = ((ROOMY, 1.0), (24, 0.74), (40, 0.57))
"""Up to how many pins the tags are how large."""
LEAST_SIZE = 0.4
MANY, FINER = 24, 0.45
"""Of more pins than this the edges of the tags are so many times as thick."""
DOT, ALONE = 0.13, 0.2
"""Radius of a knot over the height of a tag; of one that has to be seen without it."""
GROWN = 1.8
"""A page shows the tags of up to `ROOMY` pins so many times as large on a phone."""
SLIM, WIDER = 1.3, 1.75
"""Width of a tag over its height, for one or two figures, and for three."""
MOST_KEPT = 512
Look = dict[str, str | float | None]


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


class Placed(NamedTuple):
    """A pin, the box of its tag and where its thread is tied to it."""

    pin: Pin
    box: Box
    eye: Point
    room: Box
    """What the tag takes where a page shows it larger."""

    @property
    def height(self) -> float:
        return self.box.bottom - self.box.top


def place(
    pins: Sequence[Pin],
    view: View,
    share: float = TAG_SHARE,
    grown: float = 1.0,
    clear: tuple[Box, ...] = (),
) -> list[Placed]:
    """Find each tag a place by its number, never on another nor off the sheet, with room to be grown.

    None lies on the words of the drawing, which are to be kept `clear`.
    """
    ordered = tuple(sorted(pins, key=lambda p: p.number))
    where = tuple((pin.x_m, pin.y_m, pin.number > 99) for pin in ordered)
    spots = _placed(where, view, share, grown, clear)
    return [
        Placed(pin, spot.box.about(spot.eye, 1 / grown), spot.eye, spot.box)
        for pin, spot in zip(ordered, spots, strict=True)
    ]


@lru_cache(maxsize=MOST_KEPT)
def _placed(
    where: tuple[tuple[float, float, bool], ...],
    view: View,
    share: float,
    grown: float,
    clear: tuple[Box, ...],
) -> tuple[Spot, ...]:
    """Kept: a page with many pins is asked for again and again, and nothing of it moves meanwhile."""
    height = tag_height(len(where), view, share)
    knots = [Point(_on(x, view.x_m, view.width_m), _on(y, view.y_m, view.height_m)) for x, y, _ in where]
    widths = [height * (WIDER if long else SLIM) for _, _, long in where]
    return tuple(placed(knots, widths, height, view, grown, clear))


def _on(value: float, start: float, length: float) -> float:
    """On the sheet, where a pin lies off it."""
    return min(max(value, start), start + length)


def tag_height(count: int, view: View, share: float = TAG_SHARE) -> float:
    """Height of a tag in the sheet's units: less, a step at a time, where many pins crowd."""
    step = next((smaller for most, smaller in SIZES if count <= most), LEAST_SIZE)
    return share * step * view.width_m


def draw(
    pins: Sequence[Pin],
    view: View,
    share: float = TAG_SHARE,
    grown: float = 1.0,
    clear: tuple[Box, ...] = (),
) -> str:
    """All pins: threads first, then knots, then tags, so that no tag is struck through.

    With a `share` of nothing they are points alone. The tags of many have a finer edge: what is thick round
    one hides the drawing round forty.
    """
    if not pins:
        return ""
    if not share:
        return _points(pins, view)
    found = place(pins, view, share, grown, clear)
    pen = view.pen_m
    line: Look = {"stroke": "#15252b", "stroke_width": 1.6 * pen, "pointer_events": "none", "fill": "none"}
    dot: Look = {"fill": "#15252b", "stroke": "#fffdf8", "stroke_width": 1.2 * pen, "pointer_events": "none"}
    return (
        group("threads", [element("path", d="".join(map(_thread, found)))], **line)
        + group("knots", map(_knot, found), **dot)
        + group(
            "tags",
            [_tag(each, FINER if len(found) > MANY else 1.0) for each in found],
            font_family="Atkinson Hyperlegible Next, sans-serif",
            font_weight="700",
        )
    )


def _points(pins: Sequence[Pin], view: View) -> str:
    """Each pin's exact place, and nothing that could hide another's."""
    dots = (element("circle", cx=pin.x_m, cy=pin.y_m, r=ALONE * TAG_SHARE * view.width_m) for pin in pins)
    return group("knots", dots, fill="#15252b", stroke="#fffdf8", stroke_width=1.2 * view.pen_m)


def _thread(placed: Placed) -> str:
    knot, eye = Point(placed.pin.x_m, placed.pin.y_m), placed.eye
    sag = min(0.12 * placed.height, 0.08 * hypot(knot.x_m - eye.x_m, knot.y_m - eye.y_m))
    middle = Point((knot.x_m + eye.x_m) / 2, (knot.y_m + eye.y_m) / 2 + sag)
    return f"M{at(knot)}Q{at(middle)} {at(eye)}"


def _knot(placed: Placed) -> str:
    return element("circle", cx=placed.pin.x_m, cy=placed.pin.y_m, r=DOT * placed.height)


def _tag(placed: Placed, finer: float = 1.0) -> str:
    """A tag told from its eye, where its thread holds it when a page shows it larger."""
    box, pin, eye, height = placed.box, placed.pin, placed.eye, placed.height
    fill, ink, edge = _TONES.get(band_class(pin.band), _TONES["unknown"])
    body = element(
        "rect",
        x=box.left - eye.x_m,
        y=box.top - eye.y_m,
        width=box.right - box.left,
        height=height,
        rx=0.26 * height,
        fill=fill,
        stroke="#15252b",
        stroke_width=finer * edge * height,
    ) + element(
        "text",
        str(pin.number),
        x=box.middle.x_m - eye.x_m,
        y=box.middle.y_m - eye.y_m + 0.23 * height,
        font_size=0.64 * height,
        text_anchor="middle",
        fill=ink,
    )
    ring = element(
        "circle", class_="eye", r=0.09 * height, fill="#fffdf8", stroke="#15252b", stroke_width=0.05 * height
    )
    tag = element(
        "g",
        body + ring,
        class_=f"pin band-{band_class(pin.band)}",
        data_pin=str(pin.number),
        role=None if pin.href else "img",
        aria_label=pin.label or gettext("Damage %(number)s") % {"number": pin.number},
    )
    linked = element("a", tag, href=pin.href, class_="pin-link") if pin.href else tag
    return element("g", linked, transform=f"translate({at(eye)})")


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
