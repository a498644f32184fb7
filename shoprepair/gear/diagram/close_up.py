"""A close-up: the same drawing seen from near, round the places that somebody works at.

The cloth is borrowed from a file of its own, so forty of them cost little more than one.
"""

from collections.abc import Iterable, Sequence

from django.utils.safestring import SafeString, mark_safe

from shoprepair.gear.diagram import pins as tags
from shoprepair.gear.diagram.pins import Pin
from shoprepair.gear.diagram.sheet import WHOLE
from shoprepair.gear.diagram.svg import element
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape

LEAST_SHARE = 0.4
"""A close-up is at least this much of the whole drawing wide, so that one still sees where it is."""
ROOM_SHARE = 0.16
"""Room on every side of the places, over the width of the whole drawing."""
ASPECT = 0.72
"""Height over width."""
TAG_SHARE = 0.075


def close_up(
    planform: Planform, pins: Sequence[Pin], numbers: Iterable[int], *, kept: str, title: str
) -> SafeString:
    """The drawing round the pins of these numbers; the whole of it where none of them is known.

    `kept` begins the address of each shape in a file of its own (`gear.kept_drawings`).
    """
    wanted = set(numbers)
    seen = window(planform, [(pin.x_m, pin.y_m) for pin in pins if pin.number in wanted])
    near = [pin for pin in pins if pin.number in wanted or _holds(seen, pin)]
    body = element("use", href=f"{kept}{WHOLE}") + tags.draw(near, seen, TAG_SHARE)
    return mark_safe(  # noqa: S308 - made of figures and of labels that `element` escapes
        element(
            "svg",
            body,
            class_="diagram is-close-up",
            viewBox=seen.box,
            role="group" if near else "img",
            aria_label=title,
            stroke_linejoin="round",
            focusable="false",
        )
    )


def window(planform: Planform, places_m: Sequence[tuple[float, float]]) -> View:
    """The part of the whole drawing's sheet that shows these places, in metres; all of it for none.

    It never leaves the sheet, and keeps one shape, so that nothing jumps from step to step.
    """
    whole = view(shape(planform))
    if not places_m:
        return _shaped(whole, whole.width_m, whole.x_m + whole.width_m / 2, whole.y_m + whole.height_m / 2)
    xs, ys = [x for x, _ in places_m], [y for _, y in places_m]
    room = 2 * ROOM_SHARE * whole.width_m
    width = max(max(xs) - min(xs) + room, (max(ys) - min(ys) + room) / ASPECT, LEAST_SHARE * whole.width_m)
    return _shaped(whole, min(width, whole.width_m), (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _shaped(whole: View, width: float, x: float, y: float) -> View:
    height = width * ASPECT
    left = _kept(x - width / 2, whole.x_m, whole.x_m + whole.width_m - width)
    top = _kept(y - height / 2, whole.y_m, whole.y_m + whole.height_m - height)
    return View(round(left, 3), round(top, 3), round(width, 3), round(height, 3))


def _kept(at: float, low: float, high: float) -> float:
    """Within the sheet; in its middle where it is smaller than what is asked."""
    return (low + high) / 2 if high < low else min(max(at, low), high)


def _holds(seen: View, pin: Pin) -> bool:
    return seen.holds(pin.x_m, pin.y_m, pin.x_m, pin.y_m)
