"""What is drawn under and over the regions: the same for every page, so it is kept by planform and load."""

import re
from dataclasses import dataclass
from functools import lru_cache

from django.utils.translation import gettext

from shoprepair.gear.diagram import canopy, fittings, loads, outline, roundness, struts, tubes
from shoprepair.gear.diagram.regions import regions
from shoprepair.gear.diagram.svg import element, group
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import Shape, shape
from shoprepair.gear.sites import sites
from shoprepair.mechanics.description import Element

_STITCHES = re.compile(r'<(?:path|rect|circle)\b[^>]* class="(?:[a-z-]+ twin|stitches)"[^>]*/>')
INK, CLOTH = "#15252b", "#fffefb"


@dataclass(frozen=True, slots=True)
class Layers:
    """Ready pieces of SVG, from the lowest up."""

    ground: str
    seams: str
    glints: str
    on_struts: str
    on_edge: str
    fittings: tuple[tuple[str, str], ...]
    """Each fitting by its region."""


def layers(planform: Planform, load: tuple[tuple[str, float], ...], *, fine: bool = True) -> Layers:
    """The pieces of a planform's drawing; `load` as the items of a load map, `fine` with rows of stitches."""
    whole = _layers(planform, load, (gettext("left"), gettext("right")))
    return whole if fine else _coarser(whole)


@lru_cache(maxsize=256)
def _coarser(whole: Layers) -> Layers:
    """The same without its finest lines, which weigh a sixth of it."""

    def less(svg: str) -> str:
        return _STITCHES.sub("", svg)

    return Layers(
        ground=less(whole.ground),
        seams=less(whole.seams),
        glints=less(whole.glints),
        on_struts=less(whole.on_struts),
        on_edge=less(whole.on_edge),
        fittings=tuple((region, less(drawn)) for region, drawn in whole.fittings),
    )


@lru_cache(maxsize=256)
def _layers(planform: Planform, load: tuple[tuple[str, float], ...], sides: tuple[str, str]) -> Layers:
    of = shape(planform)
    sheet, ratios = view(of), dict(load)
    windows = [region for region in regions(planform) if region.element is Element.WINDOW]
    return Layers(
        ground=still(canopy.marks(of, sheet, sides)) + _cloth(of),
        seams=still(
            canopy.seams(of, sheet),
            canopy.patches(of, sheet),
            _leech(of, sheet),
        ),
        glints=still(canopy.window_frames(of, sheet), canopy.glints(of, windows, sheet)),
        on_struts=still(
            roundness.of_struts(of), loads.strut_hatches(of, ratios, sheet), struts.strut_seams(of, sheet)
        ),
        on_edge=still(
            loads.doubled_stretches(of, ratios, sheet),
            roundness.of_edge(of),
            loads.edge_hatches(of, ratios, sheet),
            tubes.doublings(of, sheet, loaded=bool(load)),
            tubes.edge_seams(of, sheet),
            tubes.edge_outline(of, sheet),
        ),
        fittings=tuple((site.region, fittings.fitting(of, site, sheet)) for site in sites(planform)),
    )


def still(*parts: str) -> str:
    """Drawn, but never in the way of a finger."""
    return group("drawn", parts, pointer_events="none", aria_hidden="true")


def _cloth(of: Shape) -> str:
    return element("path", d=outline.canopy(of), class_="canopy", fill=CLOTH)


def _leech(of: Shape, sheet: View) -> str:
    """The canopy's edge, over all that is sewn onto it."""
    pen = 1.8 * sheet.pen_m
    return element("path", d=outline.canopy(of), class_="leech", fill="none", stroke=INK, stroke_width=pen)
