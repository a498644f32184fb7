"""Tension of the canopy as a membrane bellied along its chord."""

from shoprepair.mechanics.domain import not_negative, positive
from shoprepair.mechanics.words import gettext_noop


def membrane_tension(pressure_pa: float, chord_m: float, camber_m: float) -> float:
    """Tension in N/m of cloth bellied to an arc: pressure times the arc's radius."""
    not_negative(pressure_pa, gettext_noop("pressure"))
    positive(chord_m, gettext_noop("chord"))
    positive(camber_m, gettext_noop("camber"))
    return pressure_pa * (chord_m**2 / (8 * camber_m) + camber_m / 2)
