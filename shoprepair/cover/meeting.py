"""How a later damage meets, borders on or misses the footprint of a repair, on the planform of that day."""

from dataclasses import dataclass
from typing import Literal

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.footprints import Footprint
from shoprepair.gear.planform import Planform

Relation = Literal["meets", "borders", "misses"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Meeting:
    """Where a damage lies against one footprint. Lengths in m."""

    relation: Relation
    distance_m: float
    """From the outline to the nearest of the damage; 0 where it reaches in."""
    depth_m: float = 0.0
    """How far inside the outline its deepest point lies; 0 where it stays out."""
    share_inside: float = 0.0
    """How much of its length lies inside."""
    row: int | None = None
    """The row of stitches that it runs along, from 0 at the edge."""
    rows_crossed: int = 0
    face_unknown: bool = False
    """Another answer would follow if it lay on the other side of the tube, and nobody said."""
    farthest_m: float | None = None
    """The distance from there."""
    mirror_distance_m: float | None = None
    """From the same place on the other side; None at the centre."""
    seam: str = ""
    """The maker's own seam nearest to it, in words; empty where none is near."""
    seam_m: float | None = None
    """How far that seam is."""
    same_surface: bool = True


def meet(planform: Planform, footprint: Footprint, damage: DamageView) -> Meeting:
    """How a damage lies against a footprint; `planform` is that of the footprint's own record."""
    raise NotImplementedError
