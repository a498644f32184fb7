"""Air in a tube: pressure against temperature and height, leaks, pinholes, wind.

Ideal gas; standard atmosphere after ISO 2533; orifice flow of a perfect gas with a sharp-edged hole
(discharge coefficient 0.61, from memory). Gauge pressures in Pa, temperatures in K. Below about 0.1 mm
viscosity slows the flow: such a hole is larger than said here.
"""

from functools import lru_cache
from math import inf, pi, sqrt

from shoprepair.mechanics.domain import need, not_negative, positive
from shoprepair.mechanics.words import gettext_noop

SEA_LEVEL_PA = 101325.0
ZERO_CELSIUS_K = 273.15
_GAS_OF_AIR = 287.05287
_HEAT_RATIO = 1.4
_CHOKED_BELOW = (2 / (_HEAT_RATIO + 1)) ** (_HEAT_RATIO / (_HEAT_RATIO - 1))
_DISCHARGE = 0.61
_STEPS = 64


def gauge_after(
    gauge_pa: float,
    from_k: float,
    to_k: float,
    from_ambient_pa: float = SEA_LEVEL_PA,
    to_ambient_pa: float = SEA_LEVEL_PA,
) -> float:
    """Gauge pressure of the same air at another temperature or height, the tube's volume unchanged."""
    not_negative(gauge_pa, gettext_noop("pressure"))
    for kelvin in (from_k, to_k):
        positive(kelvin, gettext_noop("absolute temperature"))
    for ambient in (from_ambient_pa, to_ambient_pa):
        not_negative(ambient, gettext_noop("outside pressure"))
    return (gauge_pa + from_ambient_pa) * to_k / from_k - to_ambient_pa


def standard_atmosphere(height_m: float) -> tuple[float, float, float]:
    """Temperature in K, pressure in Pa and density in kg/m3 at a height from -2000 to 11000 m (ISO 2533)."""
    need(-2000 <= height_m <= 11000, gettext_noop("The height must lie between -2000 and 11000 m."))
    kelvin = 288.15 - 0.0065 * height_m
    pascal = SEA_LEVEL_PA * (kelvin / 288.15) ** (9.80665 / (0.0065 * _GAS_OF_AIR))
    return kelvin, pascal, pascal / (_GAS_OF_AIR * kelvin)


def leak_rate(
    volume_m3: float,
    gauge_start_pa: float,
    start_k: float,
    gauge_end_pa: float,
    end_k: float,
    seconds: float,
    ambient_start_pa: float = SEA_LEVEL_PA,
    ambient_end_pa: float = SEA_LEVEL_PA,
    reference_k: float | None = None,
) -> float:
    """Leak in Pa m3/s from two readings, at `reference_k` (by default the first reading's temperature).

    Over 101325 Pa and times 6e7 it is in standard millilitres a minute at that temperature. Negative
    when the readings say that air came in: one of them is wrong, or the tube had not settled.
    """
    positive(volume_m3, gettext_noop("volume"))
    positive(seconds, gettext_noop("time between the readings"))
    for kelvin in (start_k, end_k):
        positive(kelvin, gettext_noop("absolute temperature"))
    not_negative(gauge_start_pa, gettext_noop("pressure"))
    not_negative(gauge_end_pa, gettext_noop("pressure"))
    lost = (gauge_start_pa + ambient_start_pa) / start_k - (gauge_end_pa + ambient_end_pa) / end_k
    return volume_m3 * (start_k if reference_k is None else reference_k) * lost / seconds


def give_of_cloth(radius_m: float, stiffness_n_per_m: float, poisson: float = 0.3) -> float:
    """By which share a cloth tube swells per Pa; a leak rate grows by 1 + absolute pressure times this."""
    positive(radius_m, gettext_noop("radius"))
    positive(stiffness_n_per_m, gettext_noop("stiffness of the cloth"))
    return radius_m / stiffness_n_per_m * (2.5 - 2 * poisson)


def orifice_flow(
    diameter_m: float, gauge_pa: float, kelvin: float, ambient_pa: float = SEA_LEVEL_PA
) -> float:
    """Air through a round hole in kg/s; from about 0.9 bar at sea level on it flows at the speed of sound."""
    not_negative(diameter_m, gettext_noop("diameter of the hole"))
    return pi * diameter_m**2 / 4 * _flux(gauge_pa, kelvin, ambient_pa)


def pinhole_diameter(mass_flow_kg_per_s: float, gauge_pa: float, kelvin: float) -> float:
    """Diameter in m of the one round hole that would leak as much at sea level."""
    not_negative(mass_flow_kg_per_s, gettext_noop("flow"))
    positive(gauge_pa, gettext_noop("pressure"))
    return sqrt(4 * mass_flow_kg_per_s / (pi * _flux(gauge_pa, kelvin)))


def time_to_gauge(
    volume_m3: float, diameter_m: float, gauge_start_pa: float, gauge_end_pa: float, kelvin: float
) -> float:
    """Seconds until a round hole has let the pressure down from start to end, at one temperature."""
    positive(volume_m3, gettext_noop("volume"))
    positive(diameter_m, gettext_noop("diameter of the hole"))
    hole = pi * diameter_m**2 / 4
    return volume_m3 / hole * _time_per_volume_and_hole(gauge_start_pa, gauge_end_pa, kelvin)


def pinhole_from_time(
    volume_m3: float, seconds: float, gauge_start_pa: float, gauge_end_pa: float, kelvin: float
) -> float:
    """Diameter in m of the one round hole that lets the pressure down from start to end in that time."""
    positive(volume_m3, gettext_noop("volume"))
    positive(seconds, gettext_noop("time"))
    hole = volume_m3 / seconds * _time_per_volume_and_hole(gauge_start_pa, gauge_end_pa, kelvin)
    return sqrt(4 * hole / pi)


def seconds_to_half(
    gauge_start_pa: float, start_k: float, gauge_end_pa: float, end_k: float, seconds: float
) -> float:
    """Time to half the first reading, carried on from two readings as the leak of one round hole.

    The second reading is first brought to the temperature of the first. Infinite when no air was lost.
    """
    positive(gauge_start_pa, gettext_noop("first pressure"))
    positive(seconds, gettext_noop("time between the readings"))
    settled = gauge_after(gauge_end_pa, end_k, start_k)
    if settled >= gauge_start_pa:
        return inf
    need(settled > 0, gettext_noop("The tube was empty at the second reading; read it sooner."))
    so_far = _time_per_volume_and_hole(gauge_start_pa, settled, start_k)
    return seconds * _time_per_volume_and_hole(gauge_start_pa, gauge_start_pa / 2, start_k) / so_far


def wind_pressure(speed_m_per_s: float, density: float = 1.225) -> float:
    """Pressure in Pa of wind brought to rest; density in kg/m3."""
    not_negative(speed_m_per_s, gettext_noop("wind speed"))
    positive(density, gettext_noop("density of the air"))
    return density * speed_m_per_s**2 / 2


def _flux(gauge_pa: float, kelvin: float, ambient_pa: float = SEA_LEVEL_PA) -> float:
    """Air through a hole in kg/s per m2 of hole."""
    not_negative(gauge_pa, gettext_noop("pressure"))
    positive(kelvin, gettext_noop("absolute temperature"))
    positive(ambient_pa, gettext_noop("outside pressure"))
    inside = gauge_pa + ambient_pa
    ratio = max(ambient_pa / inside, _CHOKED_BELOW)
    flow = ratio ** (2 / _HEAT_RATIO) - ratio ** ((_HEAT_RATIO + 1) / _HEAT_RATIO)
    heat = 2 * _HEAT_RATIO / ((_HEAT_RATIO - 1) * _GAS_OF_AIR * kelvin)
    return _DISCHARGE * inside * sqrt(heat * max(flow, 0.0))


@lru_cache(maxsize=1024)
def _time_per_volume_and_hole(gauge_start_pa: float, gauge_end_pa: float, kelvin: float) -> float:
    """Seconds per m3 of air and 1/m2 of hole, by Simpson's rule over the root of the pressure.

    The root makes the integrand smooth down to no pressure at all.
    """
    need(0 < gauge_end_pa < gauge_start_pa < inf, gettext_noop("The pressure must fall, and not to nothing."))
    low, high = sqrt(gauge_end_pa), sqrt(gauge_start_pa)
    step = (high - low) / _STEPS
    total = 0.0
    for i in range(_STEPS + 1):
        root = low + i * step
        weight = 1 if i in (0, _STEPS) else 4 if i % 2 else 2
        total += weight * 2 * root / _flux(root * root, kelvin)
    return total * step / 3 / (_GAS_OF_AIR * kelvin)
