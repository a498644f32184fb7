"""How a cut weakens cloth: between a cautious bound and a hopeful one.

Cautious: Hedgepeth 1961 (NASA TN D-882), elastic yarns that neither slip nor yield. Hopeful: the
inherent-flaw form of Waddoups, Eisenmann & Kaminski 1971 (J. Compos. Mater. 5 446). Any slit counts as
the yarns it cuts in the loaded direction (Meng, Cao & Lv 2015, J. Astronautics 36 230). Angles in rad
from the tube's axis.
"""

from functools import lru_cache
from math import ceil, cos, exp, inf, lgamma, pi, sin, sqrt

from shoprepair.mechanics.domain import need, not_negative, positive
from shoprepair.mechanics.words import gettext_noop

_A_HAIR = 1e-9
"""Share of a yarn that rounding may add and that no cut yarn is counted for."""
_MUCH_TO_SPARE = 1000.0


@lru_cache(maxsize=8192)
def yarn_stress_factor(broken_yarns: int) -> float:
    """How many times its share the first sound yarn carries beside so many broken ones (K_n of Hedgepeth)."""
    need(broken_yarns >= 0, gettext_noop("The number of broken yarns must be zero or more."))
    if broken_yarns > 1000:
        return sqrt(pi) / 2 * sqrt(broken_yarns + 1.25 + 1 / (32 * broken_yarns + 48))
    return sqrt(pi) / 2 * exp(lgamma(broken_yarns + 2) - lgamma(broken_yarns + 1.5))


def flaw_stress_factor(length_m: float, flaw_length_m: float) -> float:
    """The hopeful factor: 1 for no slit, growing with the root of its length over the cloth's own flaw."""
    not_negative(length_m, gettext_noop("length of the cut"))
    positive(flaw_length_m, gettext_noop("flaw length"))
    return sqrt(1 + length_m / flaw_length_m)


def bulging_factor(length_m: float, radius_m: float, thickness_m: float) -> float:
    """By how much the lips of a slit along a tube raise the hopeful factor as they bulge (Folias 1965)."""
    not_negative(length_m, gettext_noop("length of the cut"))
    positive(radius_m, gettext_noop("radius"))
    positive(thickness_m, gettext_noop("thickness"))
    return sqrt(1 + 1.61 * (length_m / 2) ** 2 / (radius_m * thickness_m))


def broken_yarns(
    length_m: float, angle_rad: float, hoop_yarns_per_m: float, axial_yarns_per_m: float
) -> tuple[int, int]:
    """Yarns that a cut severs: those running around the tube, those running along it."""
    not_negative(length_m, gettext_noop("length of the cut"))
    not_negative(hoop_yarns_per_m, gettext_noop("number of yarns per metre"))
    not_negative(axial_yarns_per_m, gettext_noop("number of yarns per metre"))
    return (
        yarns_over(length_m * abs(cos(angle_rad)), hoop_yarns_per_m),
        yarns_over(length_m * abs(sin(angle_rad)), axial_yarns_per_m),
    )


def yarns_over(width_m: float, yarns_per_m: float) -> int:
    """Yarns within a width, a begun one counted whole."""
    return ceil(width_m * yarns_per_m - _A_HAIR)


def run_length(tension_n_per_m: float, strength_n_per_m: float, yarns_per_m: float) -> float:
    """The longest cut in m across the loaded yarns that does not run by the cautious bound.

    Zero when one broken yarn is too many; infinite when nothing pulls. Above a thousand times the
    tension in strength it says the length for a thousand times.
    """
    not_negative(tension_n_per_m, gettext_noop("tension"))
    positive(strength_n_per_m, gettext_noop("strength"))
    positive(yarns_per_m, gettext_noop("number of yarns per metre"))
    if tension_n_per_m == 0:
        return inf
    spare = strength_n_per_m / tension_n_per_m
    yarns = max(0, round(4 / pi * min(spare, _MUCH_TO_SPARE) ** 2 - 1.25))
    if spare >= _MUCH_TO_SPARE:
        return yarns / yarns_per_m
    # K_n is a little more than its root says: the guess may be a yarn too many, never too few.
    while yarns > 0 and yarn_stress_factor(yarns) > spare:
        yarns -= 1
    return yarns / yarns_per_m
