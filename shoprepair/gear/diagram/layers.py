"""What is drawn under and over the regions: the same for every page, so it is kept by planform and load."""

from dataclasses import dataclass
from functools import lru_cache

from django.utils.translation import gettext

from shoprepair.gear.diagram import canopy, fittings, loads, outline, tubes
from shoprepair.gear.diagram.regions import regions
from shoprepair.gear.diagram.svg import element, group
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import Shape, shape
from shoprepair.gear.sites import sites
from shoprepair.mechanics.description import Element

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


def layers(planform: Planform, load: tuple[tuple[str, float], ...]) -> Layers:
    """The pieces of a planform's drawing; `load` as the items of a load map."""
    return _layers(planform, load, (gettext("left"), gettext("right")))


@lru_cache(maxsize=256)
def _layers(planform: Planform, load: tuple[tuple[str, float], ...], sides: tuple[str, str]) -> Layers:
    of = shape(planform)
    sheet, ratios = view(of), dict(load)
    windows = [region for region in regions(planform) if region.element is Element.WINDOW]
    return Layers(
        ground=still(canopy.marks(of, sheet, sides)) + _cloth(of, sheet),
        seams=still(canopy.seams(of, sheet), canopy.strut_patches(of, sheet)),
        glints=still(canopy.glints(of, windows, sheet)),
        on_struts=still(loads.strut_hatches(of, ratios, sheet), tubes.strut_seams(of, sheet)),
        on_edge=still(
            loads.edge_hatches(of, ratios, sheet),
            loads.doubled_stretches(of, ratios, sheet),
            tubes.doublings(of, sheet, loaded=bool(load)),
            tubes.edge_seams(of, sheet),
            tubes.edge_outline(of, sheet),
        ),
        fittings=tuple((site.region, fittings.fitting(of, site, sheet)) for site in sites(planform)),
    )


def still(*parts: str) -> str:
    """Drawn, but never in the way of a finger."""
    return group("drawn", parts, pointer_events="none", aria_hidden="true")


def _cloth(of: Shape, sheet: View) -> str:
    return element(
        "path",
        d=outline.canopy(of),
        class_="canopy",
        fill=CLOTH,
        stroke=INK,
        stroke_width=1.8 * sheet.pen_m,
    )
