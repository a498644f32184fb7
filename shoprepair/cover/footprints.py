"""The area that a repair covers, kept in shares of its tube or canopy and, for its size, in metres."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shoprepair.cover.damage_view import DamageView
from shoprepair.gear.planform import Planform


@dataclass(frozen=True, kw_only=True, slots=True)
class Footprint:
    """What one repair covers of one damage's surroundings."""

    surface: str
    """leading-edge, strut-<side>-<index>, canopy, or a fitting's region."""
    side: str
    layer: str
    """casing, bladder, canopy or fitting."""
    shape: str
    """patch, seam, ring (once around the tube), region (a panel or fitting), tube (all of its film)."""
    along: float
    """Of the middle: share of the half leading edge's length, or of the strut's; on a canopy the station."""
    around: float
    """Of the middle: angle in rad, 0 at the front (on a strut: toward the centre), top positive;
    on a canopy the share of the chord."""
    half_along_m: float
    half_around_m: float
    corner_m: float = 0.0
    rows_in_m: tuple[float, ...] = ()
    """How far inside its outline each row of stitches runs."""
    region: str = ""
    """The drawing's region that it fills, for a panel or a fitting."""
    damage: int
    """Number of the damage that it mends."""
    face_said: bool = True
    """False where nobody said on which side of the tube it lies: then the mirror place through the tube counts too."""


def of(
    planform: Planform,
    damage: DamageView,
    operation_area: str,
    layup: Mapping[str, Any],
    *,
    operation: str = "",
) -> Footprint:
    """The footprint of a repair; `operation` is its code, which says more than its area does."""
    raise NotImplementedError


def read(kept: Mapping[str, Any]) -> Footprint:
    """A footprint as a cover keeps it."""
    rows = tuple(float(row) for row in kept["rows_in_m"])
    return Footprint(**{**kept, "rows_in_m": rows})
