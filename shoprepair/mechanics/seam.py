"""What a stitched seam and a glued lap can carry, per metre of seam.

Stitches after the trade's seam-strength estimate: stitches per length times thread strength times a
factor of twice the loop-strength ratio (1.5 for lockstitch on average; 1.24 for continuous
high-tenacity polyester). Bonds after Volkersen 1938: shear only; no peel, creep, water or heat.
"""

from math import exp, sqrt, tanh

from shoprepair.mechanics.domain import need, not_negative, positive
from shoprepair.mechanics.words import gettext_noop


def stitched_strength(
    stitches_per_m: float, thread_strength_n: float, rows: int = 1, factor: float = 1.5
) -> float:
    """Strength of a stitched seam in N/m; the cloth beside it may be weaker, and then it decides."""
    not_negative(stitches_per_m, gettext_noop("number of stitches per metre"))
    not_negative(thread_strength_n, gettext_noop("thread strength"))
    need(rows >= 0, gettext_noop("The number of rows must be zero or more."))
    positive(factor, gettext_noop("seam factor"))
    return stitches_per_m * thread_strength_n * rows * factor


def bond_strength(
    overlap_m: float,
    shear_strength_pa: float,
    shear_modulus_pa: float,
    adhesive_m: float,
    stiffness_a_n_per_m: float,
    stiffness_b_n_per_m: float,
) -> float:
    """Tension in N/m at which the worse end of a glued lap reaches the adhesive's shear strength."""
    positive(shear_strength_pa, gettext_noop("shear strength"))
    worse = max(
        bond_stresses(1.0, overlap_m, shear_modulus_pa, adhesive_m, stiffness_a_n_per_m, stiffness_b_n_per_m)
    )
    return shear_strength_pa / worse


def bond_stresses(
    tension_n_per_m: float,
    overlap_m: float,
    shear_modulus_pa: float,
    adhesive_m: float,
    stiffness_a_n_per_m: float,
    stiffness_b_n_per_m: float,
) -> tuple[float, float]:
    """Shear stress in Pa at the two ends of a glued lap: where cloth b ends, where cloth a ends."""
    not_negative(tension_n_per_m, gettext_noop("tension"))
    positive(overlap_m, gettext_noop("overlap"))
    positive(shear_modulus_pa, gettext_noop("shear modulus"))
    positive(adhesive_m, gettext_noop("adhesive thickness"))
    positive(stiffness_a_n_per_m, gettext_noop("stiffness of the cloth"))
    positive(stiffness_b_n_per_m, gettext_noop("stiffness of the cloth"))
    grip = shear_modulus_pa / adhesive_m
    decay = sqrt(grip * (1 / stiffness_a_n_per_m + 1 / stiffness_b_n_per_m))
    near, far = 1 / tanh(decay * overlap_m), _inverse_sinh(decay * overlap_m)
    scale = tension_n_per_m * grip / decay
    return (
        scale * (near / stiffness_a_n_per_m + far / stiffness_b_n_per_m),
        scale * (near / stiffness_b_n_per_m + far / stiffness_a_n_per_m),
    )


def _inverse_sinh(x: float) -> float:
    """1 / sinh x without overflow for long laps."""
    return 2 * exp(-x) / (1 - exp(-2 * x))
