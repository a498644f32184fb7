"""What a lay-out is made of: all that it follows from, and the outline that it comes to."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.reach import extent
from shoprepair.cover.unrolled import CANOPY, Spot
from shoprepair.gear.planform import Planform


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A repair's outline about its middle. `along` and `around` where it does not lie about the damage."""

    layer: str
    shape: str
    half_along_m: float
    half_around_m: float
    corner_m: float = 0.0
    rows_in_m: tuple[float, ...] = ()
    region: str = ""
    along: float | None = None
    around: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """All that a lay-out follows from."""

    planform: Planform
    damage: DamageView
    spot: Spot
    area: str
    operation: str
    layup: Mapping[str, Any]

    @property
    def layer(self) -> str:
        return "canopy" if self.spot.surface == CANOPY else "casing"

    @property
    def extent_m(self) -> tuple[float, float]:
        return extent(self.planform, self.damage, self.spot)
