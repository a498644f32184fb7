"""A wing, a kite, damages and repairs on them as plain values: what the geometry of covers works on."""

from typing import Any

from shoprepair.cover import footprints
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.footprints import Footprint
from shoprepair.gear.planform import Fitting, Planform, StrutFigures, TubeFigures
from shoprepair.mechanics.description import Direction, Element, Face, Kind, Place

WING = Planform(
    name="Vannfly 5 wing",
    kind=Kind.WING,
    held=True,
    boom=False,
    linked=True,
    span_m=3.5,
    chord_centre_m=1.1,
    chord_tip_m=0.45,
    sweep_m=0.62,
    segments=4,
    leading_edge=TubeFigures(diameter_root_m=0.24, diameter_tip_m=0.12),
    struts=(
        StrutFigures(station=0, tube=TubeFigures(diameter_root_m=0.20, diameter_tip_m=0.14)),
        StrutFigures(station=0.52, tube=TubeFigures(diameter_root_m=0.12, diameter_tip_m=0.08)),
    ),
    canopy_seams=(0.5,),
    handle_shares=((0.15, 0.35), (0.5, 0.7)),
    windows=((0, 0),),
    fittings=(Fitting(kind="inflation", station=0.1),),
)
KITE = Planform(
    name="Vannfly 9 kite",
    kind=Kind.KITE,
    held=False,
    boom=False,
    linked=False,
    span_m=4.2,
    chord_centre_m=1.6,
    chord_tip_m=0.5,
    sweep_m=1.5,
    segments=7,
    leading_edge=TubeFigures(diameter_root_m=0.20, diameter_tip_m=0.10),
    struts=(
        StrutFigures(station=0, tube=TubeFigures(diameter_root_m=0.10, diameter_tip_m=0.07)),
        StrutFigures(station=0.35, tube=TubeFigures(diameter_root_m=0.09, diameter_tip_m=0.06)),
        StrutFigures(station=0.7, tube=TubeFigures(diameter_root_m=0.08, diameter_tip_m=0.06)),
    ),
    canopy_seams=(0.4, 0.7),
    bridle_stations=(0.3, 0.6),
)


def place(element: Element = Element.LEADING_EDGE, **figures: Any) -> Place:
    """On the leading edge, 30 % out on the right, seen from above, unless said otherwise."""
    known = {"station": 0.3, "side": "right", "face": Face.TOP}
    return Place(element=element, **(known | figures))


def damage(kind: str = "tear", at: Place | None = None, **figures: Any) -> DamageView:
    """A tear of 40 mm along the tube, unless said otherwise."""
    known = {"number": 1, "length_m": 0.04, "direction": Direction.ALONG}
    return DamageView(kind=kind, place=at or place(), **(known | figures))


def patch_layup(
    along: float = 0.12, around: float = 0.08, rows: int = 2, corner: float = 0.02
) -> dict[str, Any]:
    """A sewn patch as a repair keeps it."""
    return {
        "kind": "patch",
        "plies_inside": 1,
        "plies_outside": 1,
        "outline_m": [along, around],
        "overlap_m": 0.03,
        "corner_m": corner,
        "rows": rows,
        "strength_n_per_m": 30_000.0,
        "required_n_per_m": 20_000.0,
    }


def seam_layup(length: float = 0.3, rows: int = 2, tapes: int = 1) -> dict[str, Any]:
    """A seam sewn anew as a repair keeps it."""
    return {"kind": "seam", "length_m": length, "rows": rows, "tapes": tapes}


def patch(of: DamageView | None = None, planform: Planform = WING, **figures: Any) -> Footprint:
    """A sewn patch over a damage."""
    layup = patch_layup(**figures)
    return footprints.of(planform, of or damage(), "casing", layup, operation="casing-patch")
