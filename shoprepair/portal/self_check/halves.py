"""The drawing to tap on: both halves apart, each as wide as a phone, every part wide enough for a finger."""

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from html import escape
from itertools import groupby

from django.utils.safestring import SafeString, mark_safe

from shoprepair.gear import named_places
from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.layers import layers
from shoprepair.gear.diagram.regions import Region, regions
from shoprepair.gear.planform import SIDES, Planform
from shoprepair.gear.shape import HEM_M, shape
from shoprepair.gear.sites import TOUCH_M
from shoprepair.mechanics.description import Element
from shoprepair.shop.charts.svg import element, number

Link = Callable[[str], str]
"""From the value of `at` to the address that tells it."""
FINGER_PX, FITTING_PX = 44, 26
"""Width of a part under a finger; fittings get less, so that the tube between two of them is still hit."""
SHOWN_PX = 350
"""A phone's width, on which the width of a part under a finger is reckoned."""
BESIDE_SHARE = 0.045
"""Room beside the middle and beyond the tip, over half the span: a finger reaches past the tip."""
Layers = tuple[tuple[Element, ...], ...]
SAILCLOTH: Layers = ((Element.CANOPY,), (Element.WINDOW,), (Element.TRAILING_EDGE,))
TUBES: Layers = (
    (Element.STRUT,),
    (Element.LEADING_EDGE,),
    (Element.HANDLE, Element.BRIDLE_POINT, Element.HOSE, Element.VALVE),
)
"""From the lowest up."""
NEXT_ACROSS = tuple(
    f"{part}-{side}-{first}-" for side in SIDES for part, first in (("edge", 1), ("panel", 0), ("hem", 0))
)
"""How the ids of the parts begin that the middle parts from a half."""
CLASSES = {
    Element.CANOPY: "is-cloth",
    Element.WINDOW: "is-window",
    Element.TRAILING_EDGE: "is-hem",
    Element.STRUT: "is-strut",
    Element.LEADING_EDGE: "is-front",
}


def half(planform: Planform, side: str, link: Link, title: str) -> SafeString:
    """The left or right half as an <svg> in metres, each named place on it a link to its innermost part.

    Every path of it carries nothing but what a finger needs: a script makes the point exact.
    """
    cloth, tubes = (_links(planform, side, link, of, title) for of in (SAILCLOTH, TUBES))
    body = "".join((*cloth, _rim(outline.canopy(shape(planform))), *tubes, _rim(_front(planform))))
    svg = element(
        "svg",
        element("title", escape(title)) + body,
        class_="half",
        viewBox=" ".join(number(v) for v in _box(planform, side)),
        role="group",
    )
    return mark_safe(svg)  # noqa: S308 - every part is escaped above


def _links(planform: Planform, side: str, link: Link, of: Layers, title: str) -> Iterator[str]:
    for code, parts in _places(planform, side, of):
        inner = parts[0]
        yield element(
            "a",
            "".join(_drawn(planform, part) for part in parts),
            href=link(f"{inner.x_m:.2f},{inner.y_m:.2f}"),
            class_="spot",
            aria_label=f"{title}: {named_places.label(code)}",
            data_place=code,
        )


@lru_cache(maxsize=64)
def _places(planform: Planform, side: str, of: Layers) -> tuple[tuple[str, tuple[Region, ...]], ...]:
    """The parts of one half by named place, layer over layer, the innermost part of a place first.

    What lies next across the middle belongs to them: the sheet's edge shows a strip of it.
    """
    found: list[tuple[str, tuple[Region, ...]]] = []
    for layer in of:
        here = [region for region in regions(planform) if region.element in layer and _is_on(region, side)]
        coded = sorted(
            (named_places.code_at(planform, r.x_m, r.y_m), _across(r, side), abs(r.x_m), r.id, r)
            for r in here
        )
        for code, several in groupby(coded, key=lambda each: each[0]):
            found.append((code, tuple(each[-1] for each in several)))
    return tuple(found)


def _is_on(region: Region, side: str) -> bool:
    return not _across(region, side) or f"{region.id}-".startswith(NEXT_ACROSS)


def _across(region: Region, side: str) -> bool:
    return region.x_m != 0 and (region.x_m < 0) != (side == "left")


def _front(planform: Planform) -> str:
    of = shape(planform)
    return "".join(outline.segment(of, n, side) for side in SIDES for n in range(1, planform.segments + 1))


def _rim(path: str) -> str:
    """A thick line, never in the way of a finger."""
    return element("path", d=path, class_="rim")


def _drawn(planform: Planform, part: Region) -> str:
    room = element("path", d=part.outline, class_="room", stroke_width=_room_px(planform, part))
    drawn = dict(layers(planform, ()).fittings).get(part.id)
    if drawn:
        return element("path", d=part.outline, class_="part is-fitting") + room + drawn
    return room + element("path", d=part.outline, class_=f"part {CLASSES[part.element]}")


def _room_px(planform: Planform, part: Region) -> float:
    """How much wider than it is drawn a part is to a finger, on a phone."""
    per_m = SHOWN_PX / (planform.half_span_m * (1 + 2 * BESIDE_SHARE))
    wanted = FITTING_PX if part.element in TUBES[-1] else FINGER_PX
    return round(max(wanted - _width_m(planform, part) * per_m, 0.0))


def _width_m(planform: Planform, part: Region) -> float:
    """How wide a part is across; sheets of cloth need no more room than they have."""
    match part.element:
        case Element.LEADING_EDGE:
            return 2 * planform.leading_edge.radius(min(abs(part.x_m) / planform.half_span_m, 1.0))
        case Element.STRUT:
            return 2 * planform.struts[int(part.id.rsplit("-", 1)[1])].tube.radius(0.5)
        case Element.TRAILING_EDGE:
            return HEM_M
        case Element.CANOPY | Element.WINDOW:
            return planform.span_m
    return 2 * TOUCH_M


def _box(planform: Planform, side: str) -> Sequence[float]:
    of, beside = shape(planform), BESIDE_SHARE * planform.half_span_m
    tip = of.line.beside(1.0, -of.line.radius(1.0)).x_m
    beyond = max(tip, of.reach.x_m, of.line.at(1.0).x_m + of.line.radius(1.0)) + beside
    middle = (planform.struts[0].tube.radius(0.0) if planform.struts[0].is_centre else 0.0) + beside
    top = -of.line.radius(0.0) - beside
    lowest = max(of.trailing_y(of.reach.x_m * i / 40) for i in range(41))
    bottom = max(lowest, of.line.at(1.0).y_m + of.line.radius(1.0)) + beside
    return (-beyond if side == "left" else -middle, top, beyond + middle, bottom - top)
