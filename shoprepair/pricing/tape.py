"""Tape and film on a canopy: adhesive alone, on both faces, and whether it will hold at a place."""

from dataclasses import dataclass

from shoprepair.pricing.layup import LEAST_CORNER_M, bonded_capacity, outline

OVERLAP_M = 0.040
"""How far tape reaches beyond a tear [common practice, no source]."""
STIFFNESS_WHERE_UNKNOWN_N_PER_M = 40_000.0
SHEAR_STRENGTH_PA = 0.5e6
SHEAR_MODULUS_PA = 0.5e6
ADHESIVE_M = 0.0001


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """Adhesive tape or film over a tear. Lengths in m, line strengths in N/m."""

    material: str
    faces: int
    outline_m: tuple[float, float]
    """Along the span, along the chord."""
    overlap_m: float
    corner_m: float
    stiffness_n_per_m: float
    strength_n_per_m: float
    """What the adhesive holds for hours."""
    required_n_per_m: float

    @property
    def holds(self) -> bool:
        """Whether adhesive alone carries the canopy here."""
        return self.strength_n_per_m >= self.required_n_per_m

    @property
    def shortfall(self) -> float:
        """Share by which the tape is too weak for the place; 0 when it holds."""
        return max(0.0, 1 - self.strength_n_per_m / self.required_n_per_m) if self.required_n_per_m else 0.0


def tape(
    *,
    material: str,
    tension_n_per_m: float,
    extent_m: tuple[float, float],
    stiffness_n_per_m: float,
    faces: int = 2,
    overlap_m: float = OVERLAP_M,
) -> Tape:
    """Tape of the cloth's own stiffness over a tear, and what it holds there.

    The lasting share of the bond is already a fifth, so no further factor stands on the tension.
    """
    stiffness = stiffness_n_per_m or STIFFNESS_WHERE_UNKNOWN_N_PER_M
    return Tape(
        material=material,
        faces=faces,
        outline_m=outline(extent_m, overlap_m),
        overlap_m=overlap_m,
        corner_m=LEAST_CORNER_M,
        stiffness_n_per_m=stiffness,
        strength_n_per_m=holds(stiffness, faces, overlap_m),
        required_n_per_m=tension_n_per_m,
    )


def holds(stiffness_n_per_m: float, faces: int, overlap_m: float) -> float:
    """Line tension in N/m that tape as stiff as the cloth holds for hours."""
    return bonded_capacity(
        overlap_m=overlap_m,
        cloth_stiffness_n_per_m=stiffness_n_per_m,
        tape_stiffness_n_per_m=stiffness_n_per_m,
        shear_strength_pa=SHEAR_STRENGTH_PA,
        shear_modulus_pa=SHEAR_MODULUS_PA,
        adhesive_m=ADHESIVE_M,
        faces=faces,
    )
