"""The whole drawing: regions and what is drawn on them, layer over layer, on one sheet."""

from collections.abc import Callable, Mapping, Sequence
from html import escape
from typing import Literal

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shoprepair.gear.diagram import canopy, loads, plan
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.diagram.glyph import glyph
from shoprepair.gear.diagram.layers import INK, layers
from shoprepair.gear.diagram.pins import GROWN, ROOMY, TAG_SHARE, Pin
from shoprepair.gear.diagram.pins import draw as draw_pins
from shoprepair.gear.diagram.plan import Measures
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
LAID = (Element.CANOPY, Element.WINDOW, Element.TRAILING_EDGE, Element.STRUT, Element.LEADING_EDGE)
"""What has an outline, from the lowest up."""
TUBES = (Element.LEADING_EDGE, Element.STRUT)
WHOLE, ROOM = "whole", "room-"
"""What a file of shapes calls the whole drawing, and what begins its name for the room round a fitting."""


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
    kept: str = "",
    beneath_pins: str = "",
    fine: bool = True,
    measured: Measures | None = None,
    tagged: bool = True,
) -> SafeString:
    """A planform as <svg>, in metres; detail 'glyph' is the small one in its own units.

    `load` maps region ids to load ratios for the load map, `region_links` gives each region the address that
    a tap on it leads to, `unique` begins every id so that two drawings can share a page. `tag_share` is the
    height of a pin's tag over the drawing's width: more of it where the drawing is shown small. `kept` is
    what begins the address of each shape in a file of its own (`gear.kept_drawings`): the drawing borrows
    all of them from there, and has only the names, links and pins itself. `beneath_pins` is SVG that goes
    between cloth and pins. Without `fine` it goes without its finest rows of stitches, for a page that must
    bring its paths along. What is `measured` stands round it between arrows, as on a printed plan. Pins that
    are not `tagged` are points alone.
    """
    if detail == "glyph":
        return mark_safe(glyph(planform, [(p.x_m, p.y_m, p.band) for p in pins], title=title))  # noqa: S308
    sheet = _Sheet(planform, detail, load or {}, region_links, unique, kept, fine=fine, measured=measured)
    share = tag_share if tagged else 0.0
    return mark_safe(sheet.whole(pins, title or planform.name, share, beneath_pins))  # noqa: S308


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
    of = shape(planform)
    drawn = _pinned(draw_pins(pins, view(of), tag_share, clear=_words(of)), unique, **attributes)
    return mark_safe(element("svg", drawn, xmlns=SVG))  # noqa: S308 - as above


def _pinned(pins: str, unique: str, **attributes: str) -> str:
    return element("g", pins, id=f"{unique}-pins", **attributes)


def _words(of: Shape, measured: Measures | None = None) -> tuple[Box, ...]:
    """Where a drawing has words, which no tag may hide."""
    on = view(of)
    sides = canopy.rooms_of_words(of, on, (gettext("left"), gettext("right")))
    return (*sides, *plan.rooms_of_figures(of, on, measured)) if measured else sides


def cloth(planform: Planform, unique: str, *, fine: bool = True) -> str:
    """All that a drawing shows but its pins, as it goes inside an <svg> in metres."""
    return _Sheet(planform, "paper", {}, None, unique, fine=fine).plain()


def lent(planform: Planform, load: Mapping[str, float], begin: str) -> str:
    """All that drawings of a planform borrow, each piece under its name, which `begin` begins."""
    sheet = _Lent(planform, "full", load, None, begin)
    return element("g", sheet.plain(), id=f"{begin}{WHOLE}") + element("defs", shortened(sheet.rooms()))


class _Sheet:
    """One drawing in the making."""

    felt: str | None = "all"

    def __init__(
        self,
        planform: Planform,
        detail: Detail,
        load: Mapping[str, float],
        links: Links | None,
        unique: str,
        kept: str = "",
        *,
        fine: bool = True,
        measured: Measures | None = None,
    ) -> None:
        self.of: Shape = shape(planform)
        self.view: View = view(self.of)
        self.detail, self.load, self.links, self.unique, self.kept = detail, load, links, unique, kept
        self.measured = measured
        self.regions = regions(planform)
        self.still = layers(planform, tuple(load.items()), fine=fine)

    def whole(self, pins: Sequence[Pin], title: str, tag_share: float, beneath_pins: str = "") -> str:
        name = element("title", escape(title), id=f"{self.unique}-title")
        return element(
            "svg",
            name + self.plain() + self._frame() + beneath_pins + self._pins(pins, tag_share),
            xmlns=SVG,
            class_=f"diagram is-{self.detail}",
            id=self.unique,
            viewBox=(plan.framed(self.view) if self.measured else self.view).box,
            # An image has no parts to a screen reader, so a drawing with links or named pins is a group.
            role="group" if self.links or pins else "img",
            aria_labelledby=f"{self.unique}-title",
            stroke_linejoin="round",
            font_family=FONT,
        )

    def _frame(self) -> str:
        if self.measured is None:
            return ""
        drawn = plan.frame(self.of, self.view, self.measured)
        return group("frame", [drawn], pointer_events="none", aria_hidden="true")

    def plain(self) -> str:
        if self.kept and not self.links:
            return self._borrowed(WHOLE) + self._named()
        return shortened("".join((*self._cloth(), *self._tubes(), self._fittings())))

    def _named(self) -> str:
        """What tells each part's name under a pointer, over the borrowed whole."""
        if self.detail != "full":
            return ""
        named = (
            self._borrowed(region.id, element("title", escape(region.label)))
            for wanted in LAID
            for region in self.regions
            if region.element is wanted
        )
        return group("named", named, opacity=0, pointer_events="all")

    def _pins(self, pins: Sequence[Pin], tag_share: float) -> str:
        roomy = self.detail == "full" and not self.links and len(pins) <= ROOMY
        clear = _words(self.of, self.measured)
        drawn = draw_pins(pins, self.view, tag_share, GROWN if roomy else 1.0, clear)
        return _pinned(drawn, self.unique) if self.links else drawn

    def _cloth(self) -> tuple[str, ...]:
        pen = self.view.pen_m
        return (
            self._still("ground"),
            self._group("panels", Element.CANOPY, "none") if self.detail == "full" else "",
            self._still("seams"),
            self._group("windows", Element.WINDOW, GLASS, stroke="#5b7f88", stroke_width=pen),
            self._still("glints"),
            self._group("hems", Element.TRAILING_EDGE, "none") if self.detail == "full" else "",
        )

    def _tubes(self) -> tuple[str, ...]:
        pen = self.view.pen_m
        return (
            self._group("struts", Element.STRUT, STRUT, stroke=INK, stroke_width=1.7 * pen),
            self._still("on_struts"),
            self._group("edge", Element.LEADING_EDGE, loads.UNKNOWN.grey),
            self._still("on_edge"),
        )

    def _still(self, name: str) -> str:
        drawn: str = getattr(self.still, name)
        return self._borrowed(name) if drawn and self.kept else drawn

    def _borrowed(self, name: str, body: str = "", **attributes: str | None) -> str:
        return element("use", body, href=f"{self.kept}{name}", **attributes)

    def _fittings(self) -> str:
        drawn = dict(self.still.fittings)
        return group("fittings", [self._fitting(r, drawn[r.id]) for r in self.regions if r.id in drawn])

    def _fitting(self, region: Region, drawn: str) -> str:
        drawn = self._borrowed(region.id) if self.kept else drawn
        if not self.links:
            return drawn
        return self._wrapped(region, self._room(region) + drawn)

    def _room(self, region: Region) -> str:
        look = {"class_": "part room", "fill": "none", "pointer_events": "all"}
        if self.kept:
            return self._borrowed(f"{ROOM}{region.id}", **look)
        return element("path", d=region.outline, **look)

    def _group(self, class_: str, wanted: Element, fill: str, **pen: str | float) -> str:
        parts = [self._part(region) for region in self.regions if region.element is wanted]
        felt = self.felt if self.detail == "full" else None
        return group(class_, parts, fill=fill, pointer_events=felt, **pen)

    def _part(self, region: Region) -> str:
        named = element("title", escape(region.label)) if self.detail == "full" and not self.links else ""
        if self.kept:
            return self._wrapped(region, self._borrowed(region.id, class_="part"))
        return self._wrapped(region, self._outlined(region, named))

    def _outlined(self, region: Region, named: str = "", **attributes: str) -> str:
        tone, grey = loads.tone(region, self.load) if region.element in TUBES else ("", None)
        return element("path", named, d=region.outline, class_=f"part{tone}", fill=grey, **attributes)

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


class _Lent(_Sheet):
    """The same drawing as others borrow it: each piece under its name, without a word."""

    felt = None

    def _still(self, name: str) -> str:
        return element("g", super()._still(name), id=f"{self.unique}{name}")

    def _fitting(self, region: Region, drawn: str) -> str:
        return element("g", drawn, id=f"{self.unique}{region.id}")

    def _part(self, region: Region) -> str:
        return self._outlined(region, id=f"{self.unique}{region.id}")

    def rooms(self) -> str:
        """The room that a finger gets at each fitting."""
        fitted = dict(self.still.fittings)
        rooms = (region for region in self.regions if region.id in fitted)
        return "".join(element("path", d=r.outline, id=f"{self.unique}{ROOM}{r.id}") for r in rooms)
