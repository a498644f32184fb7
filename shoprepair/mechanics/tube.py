"""A thin tube under pressure: its tension at rest, in bending, and when it begins to fold.

Membrane theory of a straight circular tube with closed ends, away from ends and seams. Bending after
Comer & Levy 1963 (AIAA J. 1(7) 1652) for cloth that carries no compression; wrinkling moment as in
Main, Peterson & Strauss 1994 (J. Aerosp. Eng. 7(2) 225), collapse moment as in Leonard, Brooks & McComb
1960 (NASA TN D-457). Pressures are gauge, in Pa; `thrust_n` is an outer push along the tube.
"""

from functools import lru_cache
from math import cos, pi, sin, sqrt

from shoprepair.mechanics.domain import need, not_negative, positive
from shoprepair.mechanics.words import gettext_noop

_SERIES_BELOW = 0.02
"""Angle in rad under which the closed forms lose digits to cancellation."""


def hoop_tension(pressure_pa: float, radius_m: float) -> float:
    """Tension around the tube in N/m: pressure times radius."""
    not_negative(pressure_pa, gettext_noop("pressure"))
    positive(radius_m, gettext_noop("radius"))
    return pressure_pa * radius_m


def axial_tension(pressure_pa: float, radius_m: float, thrust_n: float = 0.0) -> float:
    """Tension along the unbent tube in N/m: half the hoop tension, less the thrust spread over the rim."""
    return _end_force(pressure_pa, radius_m, thrust_n) / (2 * pi * radius_m)


def wrinkling_moment(pressure_pa: float, radius_m: float, thrust_n: float = 0.0) -> float:
    """Bending moment in N m at which one side of the tube goes slack."""
    return collapse_moment(pressure_pa, radius_m, thrust_n) / 2


def collapse_moment(pressure_pa: float, radius_m: float, thrust_n: float = 0.0) -> float:
    """Bending moment in N m that the tube never reaches, having folded before: twice the wrinkling moment."""
    return _end_force(pressure_pa, radius_m, thrust_n) * radius_m


def taut_tension(moment_nm: float, pressure_pa: float, radius_m: float, thrust_n: float = 0.0) -> float:
    """Tension along the tube in N/m on the side that bending stretches.

    Below the wrinkling moment it grows in proportion to the moment, above it without bound. Raises
    ValueError from the collapse moment on.
    """
    force = _end_force(pressure_pa, radius_m, thrust_n)
    share = _share_of_collapse(moment_nm, force * radius_m)
    if share <= 0.5:
        return force / (2 * pi * radius_m) + abs(moment_nm) / (pi * radius_m**2)
    slack = pi - _wrinkle_angle(share)
    return force / (2 * radius_m) * _taut_factor(slack)


def wrinkle_angle(moment_nm: float, pressure_pa: float, radius_m: float, thrust_n: float = 0.0) -> float:
    """Half the angle of the slack side in rad: 0 up to the wrinkling moment, toward pi at collapse."""
    collapse = collapse_moment(pressure_pa, radius_m, thrust_n)
    return _wrinkle_angle(_share_of_collapse(moment_nm, collapse))


def _end_force(pressure_pa: float, radius_m: float, thrust_n: float) -> float:
    not_negative(pressure_pa, gettext_noop("pressure"))
    positive(radius_m, gettext_noop("radius"))
    force = pressure_pa * pi * radius_m**2 - thrust_n
    need(force >= 0, gettext_noop("The thrust pushes harder than the pressure holds; the tube buckles."))
    return force


def _share_of_collapse(moment_nm: float, collapse_nm: float) -> float:
    moment = abs(moment_nm)
    need(
        moment < collapse_nm or moment == 0,
        gettext_noop("The tube folds: the bending is more than it can carry."),
    )
    return moment / collapse_nm if moment else 0.0


@lru_cache(maxsize=4096)
def _wrinkle_angle(share: float) -> float:
    """Solve the moment for the slack angle by halving; the moment falls steadily with pi minus the angle."""
    if share <= 0.5:
        return 0.0
    short = 1 - share
    if short < _SERIES_BELOW**2 / 10:
        return pi - sqrt(10 * short * (1 + 23 / 42 * short))
    low, high = 0.0, pi
    for _ in range(54):
        middle = (low + high) / 2
        if _moment_share(middle) > share:
            low = middle
        else:
            high = middle
    return pi - (low + high) / 2


def _moment_share(taut: float) -> float:
    """Moment over collapse moment, from the taut half angle (pi minus the wrinkle angle)."""
    if taut < _SERIES_BELOW:
        return 1 - taut**2 / 10 + 23 * taut**4 / 4200
    return (2 * taut - sin(2 * taut)) / (4 * (sin(taut) - taut * cos(taut)))


def _taut_factor(taut: float) -> float:
    """Highest tension times 2r over the end force, from the taut half angle."""
    if taut < _SERIES_BELOW:
        return 3 / (2 * taut) * (1 + taut**2 / 60)
    return (1 - cos(taut)) / (sin(taut) - taut * cos(taut))
