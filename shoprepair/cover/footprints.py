"""The area that a repair covers, kept in shares of its tube or canopy and, for its size, in metres."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shoprepair.cover import layouts
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.laid import Laid
from shoprepair.cover.reach import placed
from shoprepair.cover.revive import revive
from shoprepair.cover.unrolled import CANOPY, Spot, girth_m
from shoprepair.gear.planform import Planform


@dataclass(frozen=True, kw_only=True, slots=True)
class Footprint:
    """What one repair covers about one damage."""

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
    """Of the middle: angle in rad, 0 at the front (on a strut toward the centre), top positive; on a
    canopy the share of the chord."""
    half_along_m: float
    half_around_m: float
    corner_m: float = 0.0
    rows_in_m: tuple[float, ...] = ()
    """How far inside its outline each row of stitches runs; of a seam, from the edge of its strip."""
    region: str = ""
    """The drawing's region that it fills, for a panel or a fitting."""
    damage: int
    """Number of the damage that it mends."""
    face_said: bool = True
    """False where it may as well lie on the far side of the tube, since nobody said."""

    @property
    def middle(self) -> Spot:
        return Spot(surface=self.surface, side=self.side, along=self.along, around=self.around)

    @property
    def runs_along(self) -> bool:
        """Of a seam: whether it runs along its tube rather than around it."""
        return self.half_along_m >= self.half_around_m


def of(
    planform: Planform,
    damage: DamageView,
    operation_area: str,
    layup: Mapping[str, Any],
    *,
    operation: str = "",
) -> Footprint:
    """The footprint of a repair; `operation` is its code, which says more than its area does.

    What has no lay-up of its own is laid out as the bench measures its cloth: `pricing.proposals.measures`.
    """
    middles = placed(planform, damage)
    laid = layouts.laid(planform, damage, middles[0], operation_area, operation, layup)
    around = middles[0].around if laid.around is None else laid.around
    settled = laid.around is not None or laid.shape == "region" or _all_round(planform, laid, middles[0])
    return Footprint(
        surface=laid.region if laid.layer == "fitting" else middles[0].surface,
        side=middles[0].side,
        layer=laid.layer,
        shape=laid.shape,
        along=middles[0].along if laid.along is None else laid.along,
        around=around,
        half_along_m=laid.half_along_m,
        half_around_m=laid.half_around_m,
        corner_m=laid.corner_m,
        rows_in_m=laid.rows_in_m,
        region=laid.region,
        damage=damage.number,
        face_said=settled or len(middles) == 1,
    )


def _all_round(planform: Planform, laid: Laid, middle: Spot) -> bool:
    """Whether a repair goes once around its tube, so that it has no far side."""
    on_tube = middle.surface != CANOPY
    return on_tube and 2 * laid.half_around_m >= girth_m(planform, middle.surface, middle.along) - 1e-9


def read(kept: Mapping[str, Any]) -> Footprint:
    """A footprint as a cover keeps it."""
    return revive(Footprint, kept)


__all__ = ["CANOPY", "Footprint", "Laid", "of", "read"]
