"""The whole drawing: regions and what is drawn on them, layer over layer, on one sheet."""

from collections.abc import Callable, Mapping, Sequence
from html import escape
from typing import Literal

from django.utils.safestring import SafeString, mark_safe

from shoprepair.gear.diagram import loads
from shoprepair.gear.diagram.glyph import glyph
from shoprepair.gear.diagram.layers import INK, layers
from shoprepair.gear.diagram.pins import TAG_SHARE, Pin
from shoprepair.gear.diagram.pins import draw as draw_pins
from shoprepair.gear.diagram.regions import Region, regions
from shoprepair.gear.diagram.shorter import shortened
from shoprepair.gear.diagram.svg import element, group
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import Shape, shape
from shoprepair.mechanics.description import Element

Detail = Literal["full", "glyph", "paper"]
Links = Callable[[Region], str]
STRUT, GLASS = "#f4eddd", "#e3edee"
SVG = "http://www.w3.org/2000/svg"
FONT = "Atkinson Hyperlegible Next, sans-serif"
TUBES = (Element.LEADING_EDGE, Element.STRUT)


def draw(
    planform: Planform,
    *,
    detail: Detail = "full",
    load: Mapping[str, float] | None = None,
    pins: Sequence[Pin] = (),
    region_links: Links | None = None,
    title: str = "",
    unique: str = "d",
    tag_share: float = TAG_SHARE,
) -> SafeString:
    """A planform as <svg>, in metres; detail 'glyph' is the small one in its own units.

    `load` maps region ids to load ratios for the load map, `region_links` gives each region the address that
    a tap on it leads to, `unique` begins every id so that two drawings can share a page. `tag_share` is the
    height of a pin's tag over the drawing's width: more of it where the drawing is shown small.
    """
    if detail == "glyph":
        return mark_safe(glyph(planform, [(p.x_m, p.y_m, p.band) for p in pins], title=title))  # noqa: S308
    sheet = _Sheet(planform, detail, load or {}, region_links, unique)
    return mark_safe(sheet.whole(pins, title or planform.name, tag_share))  # noqa: S308


def pins_alone(
    planform: Planform,
    pins: Sequence[Pin],
    *,
    unique: str = "d",
    tag_share: float = TAG_SHARE,
    **attributes: str,
) -> SafeString:
    """The pins of a drawing with links, to take the place of those that it has, in an <svg> of their own.

    Nothing else of a drawing changes with its pins. `unique` is the drawing's; `attributes` go onto the pins.
    """
    drawn = _pinned(pins, view(shape(planform)), unique, tag_share, **attributes)
    return mark_safe(element("svg", drawn, xmlns=SVG))  # noqa: S308 - as above


def _pinned(pins: Sequence[Pin], on: View, unique: str, tag_share: float, **attributes: str) -> str:
    return element("g", draw_pins(pins, on, tag_share), id=f"{unique}-pins", **attributes)


def cloth(planform: Planform, unique: str) -> str:
    """All that a drawing shows but its pins, as it goes inside an <svg> in metres."""
    return _Sheet(planform, "paper", {}, None, unique).plain()


class _Sheet:
    """One drawing in the making."""

    def __init__(
        self, planform: Planform, detail: Detail, load: Mapping[str, float], links: Links | None, unique: str
    ) -> None:
        self.of: Shape = shape(planform)
        self.view: View = view(self.of)
        self.detail, self.load, self.links, self.unique = detail, load, links, unique
        self.regions = regions(planform)
        self.still = layers(planform, tuple(load.items()))

    def whole(self, pins: Sequence[Pin], title: str, tag_share: float) -> str:
        name = element("title", escape(title), id=f"{self.unique}-title")
        return element(
            "svg",
            name + self.plain() + self._pins(pins, tag_share),
            xmlns=SVG,
            class_=f"diagram is-{self.detail}",
            id=self.unique,
            viewBox=self.view.box,
            # An image has no parts to a screen reader, so a drawing with links or named pins is a group.
            role="group" if self.links or pins else "img",
            aria_labelledby=f"{self.unique}-title",
            stroke_linejoin="round",
            font_family=FONT,
        )

    def plain(self) -> str:
        return shortened("".join((*self._cloth(), *self._tubes(), self._fittings())))

    def _pins(self, pins: Sequence[Pin], tag_share: float) -> str:
        if self.links:
            return _pinned(pins, self.view, self.unique, tag_share)
        return draw_pins(pins, self.view, tag_share)

    def _cloth(self) -> tuple[str, ...]:
        pen = self.view.pen_m
        return (
            self.still.ground,
            self._group("panels", Element.CANOPY, "none") if self.detail == "full" else "",
            self.still.seams,
            self._group("windows", Element.WINDOW, GLASS, stroke="#5b7f88", stroke_width=pen),
            self.still.glints,
            self._group("hems", Element.TRAILING_EDGE, "none") if self.detail == "full" else "",
        )

    def _tubes(self) -> tuple[str, ...]:
        pen = self.view.pen_m
        return (
            self._group("struts", Element.STRUT, STRUT, stroke=INK, stroke_width=1.7 * pen),
            self.still.on_struts,
            self._group("edge", Element.LEADING_EDGE, loads.UNKNOWN.grey),
            self.still.on_edge,
        )

    def _fittings(self) -> str:
        drawn = dict(self.still.fittings)
        return group("fittings", [self._fitting(r, drawn[r.id]) for r in self.regions if r.id in drawn])

    def _fitting(self, region: Region, drawn: str) -> str:
        if not self.links:
            return drawn
        room = element("path", d=region.outline, class_="part room", fill="none", pointer_events="all")
        return self._wrapped(region, room + drawn)

    def _group(self, class_: str, wanted: Element, fill: str, **pen: str | float) -> str:
        parts = [self._part(region) for region in self.regions if region.element is wanted]
        return group(class_, parts, fill=fill, **pen)

    def _part(self, region: Region) -> str:
        tone, grey = loads.tone(region, self.load) if region.element in TUBES else ("", None)
        named = element("title", escape(region.label)) if self.detail == "full" and not self.links else ""
        path = element(
            "path",
            named,
            d=region.outline,
            class_=f"part{tone}",
            fill=grey,
            pointer_events="all" if self.detail == "full" else None,
        )
        return self._wrapped(region, path)

    def _wrapped(self, region: Region, body: str) -> str:
        if not self.links:
            return body
        return element(
            "a",
            body,
            href=self.links(region),
            class_="region",
            id=f"{self.unique}-{region.id}",
            aria_label=region.label,
            data_region=region.id,
            data_x=f"{region.x_m:.3f}",
            data_y=f"{region.y_m:.3f}",
            data_neighbours=" ".join(f"{way}:{there}" for way, there in region.neighbours.items()),
        )
