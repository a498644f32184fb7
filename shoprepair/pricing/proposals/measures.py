"""How much a repair sews and how much cloth it takes, for its minutes and materials."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from django.utils.translation import gettext

from shoprepair.gear.curve import centreline
from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import row_at
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.jobs.models import Damage
from shoprepair.pricing.models import Repair
from shoprepair.pricing.proposals import layups
from shoprepair.pricing.proposals.asked import Asked, asked
from shoprepair.pricing.resewing import TAPE_WIDE_M, Seam
from shoprepair.pricing.tape import Tape

SEAM_ROWS = 2
SEAM_ALLOWANCE_M = 0.015
"""Cloth that a new panel has beyond its seams [common practice, no source]."""
FILM_OVERLAP_M = 0.025
"""How far a film patch reaches beyond a hole in a bladder [common practice, no source]."""
LEAST_FILM_M = 0.020
HEM_PATCH_M = 0.080
STRUT_END_M = 0.120


@dataclass(frozen=True, slots=True)
class Measures:
    stitched_m: float
    """Over all rows."""
    area_m2: float
    """Over all plies."""
    kind: str = ""
    """What cloth the area is of, in words: 'casing cloth'."""


def measures(repair: Repair) -> Measures:
    """What a repair sews and covers; nought of either where it does neither."""
    layup, demand = layups.read(repair.layup), layups.read_asked(repair.layup)
    if layup is not None:
        return _of_layup(repair, layup)
    own = _OF_CODE.get(repair.operation.code)
    if own is None:
        return Measures(0.0, 0.0)
    return own(repair.damage, demand or asked(repair.damage))


def _of_layup(repair: Repair, layup: layups.AnyLayup) -> Measures:
    if isinstance(layup, Seam):
        extra = _EXTRA_CLOTH_M.get(repair.operation.code, 0.0)
        wide = layup.tapes * TAPE_WIDE_M + extra
        return Measures(layup.rows * layup.length_m, wide * layup.length_m, "cloth")
    along, around = layup.outline_m
    if isinstance(layup, Tape):
        return Measures(0.0, along * around * layup.faces, layup.material)
    rows = 2 * (along + around) * layup.rows
    canopy = repair.operation.code == "canopy-patch-sewn"
    return Measures(
        rows, along * around * layup.plies, gettext("canopy cloth") if canopy else gettext("casing cloth")
    )


_EXTRA_CLOTH_M = {
    "trailing-edge-rebuild": HEM_PATCH_M,
    "strut-end-rebuild": STRUT_END_M,
    "handle-replace": 0.04,
    "bridle-point-rebuild": 0.06,
}
"""Width of cloth that a rebuild lays under its stitching [common practice, no source]."""


def _panel(sides_m: tuple[float, float], cloth: str) -> Measures:
    """A panel cut anew and sewn in all round, two rows."""
    wide, deep = (side + 2 * SEAM_ALLOWANCE_M for side in sides_m)
    return Measures(SEAM_ROWS * 2 * sum(sides_m), wide * deep, cloth)


def _casing_panel(damage: Damage, demand: Asked | None) -> Measures:
    """One cut segment of the tube, or as much of it as the damage needs, once around."""
    drawn = planform(damage.job.inflatable.pattern)
    segment = centreline(drawn).length_m / drawn.segments
    along, around = (demand.extent_m[0], demand.around_m) if demand else (0.0, None)
    once = around or math.pi * drawn.leading_edge.diameter_root_m
    long = segment if damage.strut is None else along + 0.2
    return _panel((max(long, along), once), gettext("casing cloth"))


def _canopy_panel(damage: Damage, demand: Asked | None) -> Measures:
    del demand
    return _panel(panel_sides(damage), gettext("canopy cloth"))


def panel_sides(damage: Damage) -> tuple[float, float]:
    """Width and depth in m of the canopy panel under a damage."""
    drawn = planform(damage.job.inflatable.pattern)
    of = shape(drawn)
    low, high = of.cells()[of.cell_at(damage.x_m)]
    shares = (0.0, *drawn.canopy_seams, 1.0)
    row = row_at(drawn, min(max(damage.fraction, 0.0), 1.0))
    chord = of.trailing_y(damage.x_m) - _front(drawn, damage)
    return high - low, (shares[row + 1] - shares[row]) * chord


def _front(drawn: Planform, damage: Damage) -> float:
    line = centreline(drawn)
    return line.at(line.t_at_station(min(abs(damage.x_m) / drawn.half_span_m, 1.0))).y_m


def _window(damage: Damage, demand: Asked | None) -> Measures:
    """The clear pane; the whole panel where the damage lies beside it."""
    del demand
    drawn = planform(damage.job.inflatable.pattern)
    of = shape(drawn)
    cell, row = of.cell_at(damage.x_m), row_at(drawn, min(max(damage.fraction, 0.0), 1.0))
    if (cell, row) not in drawn.windows:
        return _panel(panel_sides(damage), gettext("window film"))
    pane = of.pane(cell, row)
    chord = of.trailing_y(damage.x_m) - _front(drawn, damage)
    sides = (pane.xs_m[1] - pane.xs_m[0], (pane.fractions[1] - pane.fractions[0]) * chord)
    return _panel(sides, gettext("window film"))


def _bladder_patch(damage: Damage, demand: Asked | None) -> Measures:
    """Film over the hole; where a leak has still to be found, over a pinhole."""
    del damage
    sides = demand.extent_m if demand and demand.tension_n_per_m else (0.0, 0.0)
    along, around = (max(side, LEAST_FILM_M) + 2 * FILM_OVERLAP_M for side in sides)
    return Measures(0.0, along * around, "film")


def _residue_peeled(damage: Damage, demand: Asked | None) -> Measures:
    """What is peeled off and taped over afterwards."""
    del damage
    along, across = demand.extent_m if demand else (0.0, 0.0)
    side = max(along, across, 0.05)
    return Measures(0.0, side * side, gettext("old patch"))


def _residue_cut_out(damage: Damage, demand: Asked | None) -> Measures:
    """The cloth is cut out with the old patch: a panel, of the canopy or of the casing."""
    on_tube = demand is not None and demand.around_m is not None
    return _casing_panel(damage, demand) if on_tube else _canopy_panel(damage, demand)


def _hem(damage: Damage, demand: Asked | None) -> Measures:
    del damage
    length = (max(demand.extent_m) if demand else 0.0) + 0.2
    return Measures(3 * length, HEM_PATCH_M * length, gettext("canopy cloth"))


_OF_CODE: dict[str, Callable[[Damage, Asked | None], Measures]] = {
    "casing-panel": _casing_panel,
    "canopy-panel": _canopy_panel,
    "window-replace": _window,
    "bladder-patch": _bladder_patch,
    "stretch-patch-peel": _residue_peeled,
    "stretch-patch-cut-out": _residue_cut_out,
    "trailing-edge-rebuild": _hem,
}
