"""The whole drawing: regions and what is drawn on them, layer over layer, on one sheet."""

from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from django.utils.safestring import SafeString, mark_safe

from shoprepair.gear.diagram import canopy, fittings, loads, outline, pins, tubes
from shoprepair.gear.diagram.glyph import glyph
from shoprepair.gear.diagram.pins import Pin
from shoprepair.gear.diagram.regions import Region, regions
from shoprepair.gear.diagram.svg import element, group
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import Shape, shape
from shoprepair.gear.sites import sites
from shoprepair.mechanics.description import Element

Detail = Literal["full", "glyph", "paper"]
Links = Callable[[Region], str]
INK = "#15252b"
CLOTH = "#fffdf8"
STRUT = "#f4eddd"
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
) -> SafeString:
    """A planform as <svg>, in metres; detail 'glyph' is the small one in its own units.

    `load` maps region ids to load ratios for the load map, `region_links` gives each region the address that a
    tap on it leads to, `unique` begins every id so that two drawings can share a page.
    """
    if detail == "glyph":
        return mark_safe(glyph(planform, [(p.x_m, p.y_m, p.band) for p in pins], title=title))  # noqa: S308
    sheet = _Sheet(planform, detail, load, region_links, unique)
    return mark_safe(sheet.whole(pins, title))  # noqa: S308


class _Sheet:
    def __init__(
        self,
        planform: Planform,
        detail: Detail,
        load: Mapping[str, float] | None,
        links: Links | None,
        unique: str,
    ) -> None:
        self.of: Shape = shape(planform)
        self.view: View = view(self.of)
        self.detail, self.load, self.links, self.unique = detail, load, links, unique
        self.regions = regions(planform)

    def whole(self, placed: Sequence[Pin], title: str) -> str:
        body = "".join((self._name(title), *self._layers(), pins.draw(placed, self.view)))
        return element(
            "svg",
            body,
            xmlns="http://www.w3.org/2000/svg",
            class_=f"diagram is-{self.detail}",
            id=self.unique,
            viewBox=self.view.box,
            role="group" if self.links else "img",
            aria_labelledby=f"{self.unique}-title",
            stroke_linejoin="round",
        )

    def _name(self, title: str) -> str:
        return element("title", title or self.of.planform.name, id=f"{self.unique}-title")

    def _layers(self) -> tuple[str, ...]:
        of, view = self.of, self.view
        by_element = {e: [r for r in self.regions if r.element is e] for e in Element}
        cloth = by_element[Element.CANOPY] + by_element[Element.WINDOW]
        return (
            self._axis(),
            element(
                "path",
                d=outline.canopy(of),
                class_="canopy",
                fill=CLOTH,
                stroke=INK,
                stroke_width=1.8 * view.pen_m,
            ),
            self._group("panels", cloth, "none", "none"),
            self._group("hems", by_element[Element.TRAILING_EDGE], "none", "none"),
            self._still(
                canopy.window_panes(of, by_element[Element.WINDOW], view),
                canopy.seams(of, view),
                canopy.strut_patches(of, view),
            ),
            self._group("struts", by_element[Element.STRUT], STRUT, INK, 1.7),
            self._still(loads.strut_hatches(of, self.load or {}, view), tubes.strut_seams(of, view)),
            self._group("edge", by_element[Element.LEADING_EDGE], loads.UNKNOWN.grey, "none"),
            self._still(
                loads.edge_hatches(of, self.load or {}, view),
                tubes.doublings(of, view),
                tubes.edge_seams(of, view),
                tubes.edge_outline(of, view),
            ),
            self._fittings(),
        )

    def _axis(self) -> str:
        return ""

    def _still(self, *parts: str) -> str:
        """Drawn, but never in the way of a finger."""
        return group("drawn", parts, pointer_events="none", aria_hidden="true")

    def _group(self, class_: str, found: Sequence[Region], fill: str, stroke: str, pens: float = 1.0) -> str:
        return group(
            class_,
            [self._region(region) for region in found],
            fill=fill,
            stroke=stroke,
            stroke_width=pens * self.view.pen_m,
        )

    def _region(self, region: Region, drawn: str = "") -> str:
        tone, grey = loads.fill(region, self.load) if region.element in TUBES else ("", "")
        loaded = bool(self.load) and region.element in TUBES
        path = element(
            "path",
            d=region.outline,
            class_=f"part{tone}",
            fill=grey if loaded else None,
            pointer_events="all" if self.links else None,
        )
        return self._wrapped(region, path + drawn)

    def _wrapped(self, region: Region, body: str) -> str:
        if not self.links:
            return body
        ways = " ".join(f"{way}:{there}" for way, there in region.neighbours.items())
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
            data_neighbours=ways,
        )

    def _fittings(self) -> str:
        drawn = {site.region: fittings.fitting(self.of, site, self.view) for site in sites(self.of.planform)}
        known = [r for r in self.regions if r.id in drawn]
        return group(
            "fittings",
            [self._fitting(region, drawn[region.id]) for region in known],
        )

    def _fitting(self, region: Region, drawn: str) -> str:
        if not self.links:
            return drawn
        room = element("path", d=region.outline, class_="part room", fill="none", pointer_events="all")
        return self._wrapped(region, room + drawn)
