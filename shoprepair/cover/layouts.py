"""What a repair lays on the cloth: which layer, which shape, how large, and where its stitches run."""

from collections.abc import Callable, Mapping
from typing import Any

from shoprepair.cover import canopy_layouts, seams
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.laid import Asked, Laid
from shoprepair.cover.unrolled import BACK, CANOPY, LEADING_EDGE, Spot, drawn, girth_m, length_m
from shoprepair.gear.planform import Planform
from shoprepair.gear.sites import HANDLE_TOUCH_M, TOUCH_M, Site, sites
from shoprepair.mechanics.description import Element
from shoprepair.pricing.layup import (
    BETWEEN_ROWS_M,
    EDGE_M,
    LEAST_CORNER_M,
    LEAST_OVERLAP_M,
    rounded_up,
)
from shoprepair.pricing.proposals.measures import (
    FILM_OVERLAP_M,
    LEAST_FILM_M,
    SEAM_ALLOWANCE_M,
    SEAM_ROWS,
)
from shoprepair.pricing.resewing import TAPE_WIDE_M

PANEL_BEYOND_M = 0.1
"""How far a new stretch of a strut's casing reaches beyond the damage [as pricing measures it]."""
PEELED_M = 0.05
OF_THE_AREA = {
    "valve": (Element.VALVE, Element.HOSE),
    "attachment": (Element.HANDLE, Element.BRIDLE_POINT),
}
CLOSED_WITHIN_M = 0.01
"""What comes so near to its own other end behind the tube goes once around."""


def laid(
    planform: Planform, damage: DamageView, spot: Spot, area: str, operation: str, layup: Mapping[str, Any]
) -> Laid:
    """The outline of a repair about a damage, whose middle is `spot`."""
    asked = Asked(planform=planform, damage=damage, spot=spot, area=area, operation=operation, layup=layup)
    if site := _site(asked):
        return _fitting(site)
    if area == "bladder" and spot.surface != CANOPY:
        return _film(asked)
    if area == "closure" and spot.surface != CANOPY:
        return _closure(asked)
    if layup:
        return _seam(asked) if layup["kind"] == "seam" else _patch(asked)
    of_code = _ON_CANOPY if spot.surface == CANOPY else _ON_TUBE
    return of_code.get(operation, _about_the_damage)(asked)


def _site(asked: Asked) -> Site | None:
    """The fitting that was mended: of its kind the nearest to the pin."""
    elements = OF_THE_AREA.get(asked.area, ())
    return nearest_site(asked.planform, asked.spot, elements) if elements else None


def nearest_site(planform: Planform, spot: Spot, elements: tuple[Element, ...]) -> Site | None:
    """The fitting of these kinds that lies nearest to a spot on the drawing; None where there is none."""
    at = drawn(planform, spot)
    found = [site for site in sites(planform) if site.element in elements]
    return min(found, key=lambda site: site.distance_m(at.x_m, at.y_m), default=None)


def _fitting(site: Site) -> Laid:
    room = TOUCH_M if site.bar_m is None else HANDLE_TOUCH_M
    half = 0.0 if site.bar_m is None else (site.bar_m[1] - site.bar_m[0]) / 2
    return Laid(
        layer="fitting",
        shape="region",
        half_along_m=room,
        half_around_m=half + room,
        corner_m=room,
        region=site.region,
    )


def _film(asked: Asked) -> Laid:
    """A new bladder is all of its tube; a patch of film lies about the hole."""
    if "replace" in asked.operation:
        half = length_m(asked.planform, asked.spot.surface)
        whole = half if asked.spot.surface == LEADING_EDGE else half / 2
        around = girth_m(asked.planform, asked.spot.surface, 0.0) / 2
        middle = 0.0 if asked.spot.surface == LEADING_EDGE else 0.5
        return Laid(
            layer="bladder",
            shape="tube",
            half_along_m=whole,
            half_around_m=around,
            along=middle,
            around=0.0,
        )
    along, around = (max(side, LEAST_FILM_M) / 2 + FILM_OVERLAP_M for side in asked.extent_m)
    return Laid(
        layer="bladder", shape="patch", half_along_m=along, half_around_m=around, corner_m=LEAST_CORNER_M
    )


def _closure(asked: Asked) -> Laid:
    """A zip closes the back of its tube from end to end."""
    half = length_m(asked.planform, asked.spot.surface)
    on_edge = asked.spot.surface == LEADING_EDGE
    return Laid(
        layer="casing",
        shape="seam",
        half_along_m=half if on_edge else half / 2,
        half_around_m=TAPE_WIDE_M / 2,
        rows_in_m=_rows_in_a_strip(SEAM_ROWS, TAPE_WIDE_M),
        along=0.0 if on_edge else 0.5,
        around=BACK if on_edge else seams.STRUT_CLOSING,
    )


def _patch(asked: Asked) -> Laid:
    along, around = asked.layup["outline_m"]
    rows = tuple(EDGE_M + row * BETWEEN_ROWS_M for row in range(asked.layup.get("rows", 0)))
    if asked.spot.surface != CANOPY:
        once = girth_m(asked.planform, asked.spot.surface, asked.spot.along)
        if around >= once - CLOSED_WITHIN_M:
            return _ring(along, once, rows)
    return Laid(
        layer=asked.layer,
        shape="patch",
        half_along_m=along / 2,
        half_around_m=around / 2,
        corner_m=asked.layup["corner_m"],
        rows_in_m=rows,
    )


def _ring(along: float, once: float, rows: tuple[float, ...], middle: float | None = None) -> Laid:
    return Laid(
        layer="casing",
        shape="ring",
        half_along_m=along / 2,
        half_around_m=once / 2,
        rows_in_m=rows,
        along=middle,
    )


def _seam(asked: Asked) -> Laid:
    rows, length = asked.layup["rows"], asked.layup["length_m"]
    wide = TAPE_WIDE_M if asked.layup["tapes"] else BETWEEN_ROWS_M * (rows - 1) + 2 * EDGE_M
    along, around, is_around = _where_the_seam_runs(asked)
    if is_around and asked.spot.surface != CANOPY:
        once = girth_m(asked.planform, asked.spot.surface, along)
        length = once if length >= once - CLOSED_WITHIN_M else length
    sides = (wide, length) if is_around else (length, wide)
    return Laid(
        layer=asked.layer,
        shape="seam",
        half_along_m=sides[0] / 2,
        half_around_m=sides[1] / 2,
        rows_in_m=_rows_in_a_strip(rows, wide),
        along=along,
        around=around,
    )


def _rows_in_a_strip(rows: int, wide: float) -> tuple[float, ...]:
    """Rows beside one another in the middle of a strip, from its edge."""
    first = (wide - BETWEEN_ROWS_M * (rows - 1)) / 2
    return tuple(first + row * BETWEEN_ROWS_M for row in range(rows))


def _where_the_seam_runs(asked: Asked) -> tuple[float, float | None, bool]:
    """Where its middle lies along and around, and whether it runs around; a damage in a seam lies there."""
    spot, code = asked.spot, asked.operation
    if code == "closing-seam-resew":
        return spot.along, BACK if spot.surface == LEADING_EDGE else None, False
    seam = seams.opened(asked.planform, asked.damage, spot)
    if code in _ROUND_A_TUBE and spot.surface != CANOPY:
        # A strut is cut in one piece: its seams between segments are its joint, its end and its closing seam.
        return spot.along, None, seam is None or seam.runs == "around" or spot.surface == LEADING_EDGE
    return spot.along, None, seam is not None and seam.runs == "around"


_ROUND_A_TUBE = ("segment-seam-resew", "strut-joint-resew", "strut-end-rebuild")


def _casing_panel(asked: Asked) -> Laid:
    """One cut segment of the leading edge, sewn in at both its seams; else as much as the damage takes."""
    along, _ = asked.extent_m
    rows = tuple(EDGE_M + row * BETWEEN_ROWS_M for row in range(SEAM_ROWS))
    once = girth_m(asked.planform, asked.spot.surface, asked.spot.along)
    if asked.spot.surface != LEADING_EDGE:
        return _ring(along + 2 * PANEL_BEYOND_M, once, rows)
    count = asked.planform.segments
    segment = length_m(asked.planform, LEADING_EDGE) / count
    if along > segment:
        return _ring(along, once, rows)
    number = min(int(asked.spot.along * count), count - 1)
    return _ring(segment, once, rows, (number + 0.5) / count)


def _peeled(asked: Asked) -> Laid:
    along, around = (max(side, PEELED_M) for side in asked.extent_m)
    return Laid(
        layer=asked.layer,
        shape="patch",
        half_along_m=along / 2 + SEAM_ALLOWANCE_M,
        half_around_m=around / 2 + SEAM_ALLOWANCE_M,
        corner_m=LEAST_CORNER_M,
    )


def _about_the_damage(asked: Asked) -> Laid:
    """An operation of the shop's own that says no more: the damage and the least overlap about it."""
    along, around = (rounded_up(side + 2 * LEAST_OVERLAP_M) for side in asked.extent_m)
    return Laid(
        layer=asked.layer,
        shape="patch",
        half_along_m=along / 2,
        half_around_m=around / 2,
        corner_m=LEAST_CORNER_M,
    )


_ON_CANOPY: dict[str, Callable[[Asked], Laid]] = {
    "canopy-panel": canopy_layouts.panel,
    "window-replace": canopy_layouts.panel,
    "stretch-patch-cut-out": canopy_layouts.panel,
    "stretch-patch-peel": _peeled,
    "trailing-edge-rebuild": canopy_layouts.hem,
}
_ON_TUBE: dict[str, Callable[[Asked], Laid]] = {
    "casing-panel": _casing_panel,
    "stretch-patch-cut-out": _casing_panel,
    "stretch-patch-peel": _peeled,
}
