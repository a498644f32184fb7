"""A leak in its own terms: share lost an hour, air a second, one round hole, time to soft."""

from dataclasses import dataclass
from math import inf

from django.utils.translation import gettext

from shoprepair.mechanics import air
from shoprepair.shop.domain import positive
from shoprepair.work.readings import Reading
from shoprepair.work.sealed import TestedTube, outside

LEAST_SHARE = 1e-6
"""Of the first pressure: a smaller loss is none."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Leak:
    """What was lost at the temperature of the first reading, as a steady leak."""

    loss_per_hour: float
    """Share of the first pressure; below zero where the readings say that air came in."""
    pa_m3_per_s: float
    """Air lost at the first temperature; over 101325 and times 6e7 it is in millilitres a minute."""
    pinhole_m: float | None = None
    """Diameter of the one round hole that leaks as fast; None where nothing was lost. Below about 0.1 mm the
    true hole is larger."""
    seconds_to_soft: float = inf
    """From the first reading until half its pressure, as the leak of that hole."""

    @property
    def ml_per_minute(self) -> float:
        """At sea-level pressure and the first temperature."""
        return self.pa_m3_per_s / air.SEA_LEVEL_PA * 6e7


def leak(first: Reading, lost_pa: float, seconds: float, tube: TestedTube) -> Leak:
    """The leak that lost so much of the first pressure, at its temperature, in so many seconds.

    ASTM E2930 takes a rigid vessel; cloth gives way, so the air lost is greater by 1 + absolute pressure
    times give, at the pressure that is left: exact for a volume in proportion to the pressure.
    """
    positive(first.pressure_pa, gettext("first pressure"))
    positive(seconds, gettext("time between the readings"))
    kelvin, around = first.temperature_k, outside(first, tube)
    left = max(first.pressure_pa - lost_pa, 0.0)
    swelling = 1 + (left + around) * tube.give_per_pa
    volume = tube.volume_m3 * swelling
    rate = air.leak_rate(volume, first.pressure_pa, kelvin, left, kelvin, seconds, around, around)
    share = lost_pa / first.pressure_pa
    steady = Leak(loss_per_hour=share * 3600 / seconds, pa_m3_per_s=rate)
    if share < LEAST_SHARE:
        return steady
    if left <= LEAST_SHARE * first.pressure_pa:
        return Leak(loss_per_hour=steady.loss_per_hour, pa_m3_per_s=rate, seconds_to_soft=seconds)
    return Leak(
        loss_per_hour=steady.loss_per_hour,
        pa_m3_per_s=rate,
        pinhole_m=air.pinhole_from_time(volume, seconds, first.pressure_pa, left, kelvin),
        seconds_to_soft=air.seconds_to_half(first.pressure_pa, kelvin, left, kelvin, seconds),
    )
