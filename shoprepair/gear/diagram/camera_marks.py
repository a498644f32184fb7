"""Photos on the drawing: a small camera on a stalk at each place that one was taken at."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from shoprepair.gear.diagram.svg import element, group, number
from shoprepair.gear.diagram.view import view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape

MARK_SHARE = 0.03
"""Height of a camera over the drawing's width."""
WIDE = 1.4
"""Its width over its height."""
REACH = 0.85
"""How far a finger may be off its middle, over its height."""
STALK = 1.15
"""From the place to the camera's middle, over its height."""


@dataclass(frozen=True, slots=True)
class PhotoMark:
    """One photo at its place; its mark leads to it."""

    x_m: float
    y_m: float
    href: str
    label: str


def marks(planform: Planform, photos: Sequence[PhotoMark]) -> SafeString:
    """All of them, to go beneath a drawing's pins; those of one place stand side by side."""
    sheet = view(shape(planform))
    tall = MARK_SHARE * sheet.width_m
    taken: list[tuple[float, float]] = []
    drawn = []
    for photo in photos:
        below = photo.y_m + STALK * tall < sheet.y_m + sheet.height_m - tall / 2
        at = (photo.x_m, photo.y_m + (STALK if below else -STALK) * tall)
        while any(abs(at[0] - x) < 1.1 * WIDE * tall and abs(at[1] - y) < 1.1 * tall for x, y in taken):
            at = (at[0] + 1.15 * WIDE * tall, at[1])
        taken.append(at)
        drawn.append(_mark(photo, at, tall, sheet.pen_m))
    return mark_safe(group("photo-marks", drawn))  # noqa: S308 - made of figures and of escaped labels


def _mark(photo: PhotoMark, at: tuple[float, float], tall: float, pen: float) -> str:
    x, y = at
    parts = [
        element(
            "path",
            class_="photo-stalk",
            d=f"M{number(photo.x_m)} {number(photo.y_m)}L{number(x)} {number(y)}",
            stroke="#15252b",
            stroke_width=1.6 * pen,
        ),
        element("circle", class_="photo-spot", cx=photo.x_m, cy=photo.y_m, r=0.12 * tall, fill="#15252b"),
        element("circle", class_="photo-reach", cx=x, cy=y, r=REACH * tall, fill="none"),
        *_camera(x, y, tall),
    ]
    return element(
        "a",
        "".join(parts),
        href=photo.href,
        class_="photo-mark",
        data_mark_x=number(photo.x_m),
        data_mark_y=number(photo.y_m),
        aria_label=photo.label,
    )


def _camera(x: float, y: float, tall: float) -> list[str]:
    """Its case with the hump on top, and its lens; x, y: its middle."""
    wide, body = WIDE * tall, 0.74 * tall
    top = y + tall / 2 - body
    hump = element(
        "path",
        class_="photo-case",
        d=f"M{number(x - 0.24 * wide)} {number(top)}l{number(0.08 * wide)} {number(-0.24 * tall)}"
        f"h{number(0.32 * wide)}l{number(0.08 * wide)} {number(0.24 * tall)}",
        fill="#15252b",
    )
    return [
        hump,
        element(
            "rect",
            class_="photo-case",
            x=x - wide / 2,
            y=top,
            width=wide,
            height=body,
            rx=0.14 * tall,
            fill="#15252b",
        ),
        element(
            "circle",
            class_="photo-lens",
            cx=x,
            cy=top + body / 2,
            r=0.24 * tall,
            fill="#fffdf8",
            stroke="#15252b",
            stroke_width=0.05 * tall,
        ),
    ]
