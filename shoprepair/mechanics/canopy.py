"""Tension of the canopy as a membrane bellied along its chord."""

from shoprepair.mechanics.domain import not_negative, positive


def membrane_tension(pressure_pa: float, chord_m: float, camber_m: float) -> float:
    """Tension in N/m of cloth bellied to an arc: pressure times the arc's radius."""
    not_negative(pressure_pa, "pressure")
    positive(chord_m, "chord")
    positive(camber_m, "camber")
    return pressure_pa * (chord_m**2 / (8 * camber_m) + camber_m / 2)
