"""A tube that loses no air: what its gauge shows as it warms, cools or is carried up a hill.

Ideal gas in a cloth tube that swells with its pressure: absolute pressure times volume over temperature
stays the same, and the volume grows by 1 + give × (pressure - first pressure). With cloth that does not
give it is the gas law at constant volume. Gauge pressures in Pa, temperatures in K.
"""

from dataclasses import dataclass
from math import sqrt

from django.utils.translation import gettext

from shoprepair.mechanics import air
from shoprepair.shop.domain import positive
from shoprepair.work.readings import Reading


@dataclass(frozen=True, kw_only=True, slots=True)
class TestedTube:
    """What of a tube, or of all tubes that share their air, counts in a hold test."""

    __test__ = False  # no test of pytest's, though its name begins like one

    volume_m3: float
    radius_m: float
    """Of the widest place."""
    stiffness_n_per_m: float
    """Of the casing cloth: tension over strain."""
    home_height_m: float = 0.0
    """Height of the shop, where a reading names no other."""

    @property
    def give_per_pa(self) -> float:
        """By which share it swells per Pa."""
        return air.give_of_cloth(self.radius_m, self.stiffness_n_per_m)


def check_tube(tube: TestedTube) -> None:
    """Raise ValueError with one sentence for a figure that no tube has."""
    positive(tube.volume_m3, gettext("volume"))
    positive(tube.radius_m, gettext("radius"))
    positive(tube.stiffness_n_per_m, gettext("stiffness of the cloth"))


def outside(reading: Reading, tube: TestedTube) -> float:
    """Pressure of the air around in Pa, by the standard atmosphere at the height of the reading."""
    height_m = tube.home_height_m if reading.height_m is None else reading.height_m
    return air.standard_atmosphere(height_m)[1]


def expected(first: Reading, kelvin: float, outside_pa: float, tube: TestedTube) -> float:
    """What the gauge shows in Pa at another temperature and outside pressure, no air lost since `first`."""
    absolute = first.pressure_pa + outside(first, tube)
    return _swollen(
        tube.give_per_pa, outside_pa + first.pressure_pa, absolute * kelvin / first.temperature_k
    ) - (outside_pa)


def brought_back(first: Reading, reading: Reading, tube: TestedTube) -> float:
    """What the gauge would show in Pa with the air of `reading` at the warmth and height of `first`.

    The first pressure less this is what was lost at one temperature; below zero where hardly any air is left.
    """
    give, around = tube.give_per_pa, outside(first, tube)
    size = 1 + give * (reading.pressure_pa - first.pressure_pa)
    amount = (
        (reading.pressure_pa + outside(reading, tube)) * size * first.temperature_k / reading.temperature_k
    )
    return _swollen(give, around + first.pressure_pa, amount) - around


def _swollen(give_per_pa: float, centre_pa: float, amount: float) -> float:
    """Absolute pressure x with x (1 + give (x - centre)) = amount, in the form that does not cancel."""
    slope = 1 - give_per_pa * centre_pa
    return 2 * amount / (slope + sqrt(slope * slope + 4 * give_per_pa * amount))
