"""Seams and stitched fittings sewn anew: rows, thread, and tapes over cloth that is too weak alone."""

import math
from dataclasses import dataclass

from django.utils.translation import gettext

from shoprepair.pricing.layup import (
    SEWN_CLOTH_SHARE,
    STITCH_FACTOR,
    TEX_90,
    Thread,
    patch_strength,
    required_strength,
    rounded_up,
    row_strength,
)
from shoprepair.shop.languages import gettext_lazy

BEYOND_M = 0.050
"""How far new stitching runs into sound stitching at each end [common practice, no source]."""
TAPE_WIDE_M = 0.050


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """A seam sewn anew. Lengths in m, line strengths in N/m."""

    length_m: float
    rows: int
    pitch_m: float
    thread: Thread
    tapes: int
    """Strips of cloth sewn along under the seam, where the old cloth alone is too weak."""
    strength_n_per_m: float
    required_n_per_m: float

    stitch = gettext_lazy("lockstitch, ISO 4915 type 301")

    @property
    def shortfall(self) -> float:
        """Share by which the seam is too weak for the place; 0 when it carries the load."""
        return max(0.0, 1 - self.strength_n_per_m / self.required_n_per_m) if self.required_n_per_m else 0.0


def seam(
    *,
    opened_m: float,
    tension_n_per_m: float,
    cloth_n_per_m: float,
    existing_plies: int = 1,
    seam_efficiency: float = 0.66,
    safety_factor: float = 3.0,
    patch_n_per_m: float | None = None,
    pitch_m: float = 0.003,
    thread: Thread = TEX_90,
    stitch_factor: float = STITCH_FACTOR,
) -> Seam:
    """The stitching that gives an opened seam its strength back, ends seated in sound stitches."""
    weaker = cloth_n_per_m if patch_n_per_m is None else patch_n_per_m
    required = required_strength(
        tension_n_per_m, cloth_n_per_m, existing_plies, seam_efficiency, safety_factor
    )
    rows = max(2, math.ceil(required / row_strength(pitch_m, thread, stitch_factor)))
    tapes = max(0, math.ceil(required / (SEWN_CLOTH_SHARE * weaker)) - existing_plies)
    strength = patch_strength(
        cloth_n_per_m=weaker,
        plies=existing_plies + tapes,
        rows=rows,
        pitch_m=pitch_m,
        thread=thread,
        stitch_factor=stitch_factor,
    )
    return Seam(
        length_m=rounded_up(opened_m + 2 * BEYOND_M),
        rows=rows,
        pitch_m=pitch_m,
        thread=thread,
        tapes=tapes,
        strength_n_per_m=strength,
        required_n_per_m=required,
    )


def fitting(
    *,
    force_n: float,
    cloth_n_per_m: float,
    least_m: float,
    safety_factor: float = 3.0,
    pitch_m: float = 0.003,
    thread: Thread = TEX_90,
    stitch_factor: float = STITCH_FACTOR,
) -> Seam:
    """Two rows long enough to carry a force in N, on a handle, a bridle point or a strut's joint."""
    if force_n < 0:
        raise ValueError(gettext("A force on stitching cannot be below nought."))
    rows = 2
    strength = patch_strength(
        cloth_n_per_m=cloth_n_per_m,
        plies=1,
        rows=rows,
        pitch_m=pitch_m,
        thread=thread,
        stitch_factor=stitch_factor,
    )
    length = max(least_m, rounded_up(safety_factor * force_n / strength))
    return Seam(
        length_m=length,
        rows=rows,
        pitch_m=pitch_m,
        thread=thread,
        tapes=0,
        strength_n_per_m=strength,
        required_n_per_m=safety_factor * force_n / length,
    )
