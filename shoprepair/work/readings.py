"""Gauge readings of a hold test: what was read, when, how warm the air was, and how sure that is."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import groupby
from math import hypot, isfinite
from statistics import fmean

from django.utils.translation import gettext

from shoprepair.mechanics import air
from shoprepair.mechanics.domain import need
from shoprepair.shop.domain import not_negative
from shoprepair.work.saying import moment

CLOCK_SLACK = timedelta(minutes=2)
"""By how much a tablet's clock may run ahead of the shop's."""
COLDEST_K, WARMEST_K = 233.0, 363.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """One look at the gauge. `typed` keeps the figure and unit as written; each reading has its own."""

    pressure_pa: float
    """Above the air around."""
    temperature_k: float
    """Of the air in the tube; measured on the casing, in the shade."""
    at: datetime
    typed: str = ""
    height_m: float | None = None
    """Where the tube lay, when not at the shop."""
    step_pa: float = 0.0
    """Smallest step that the gauge shows, or that was typed."""

    @property
    def instant(self) -> datetime:
        """In UTC, so that a change of the clocks neither adds nor takes an hour."""
        return self.at.astimezone(UTC)


@dataclass(frozen=True, kw_only=True, slots=True)
class Sureness:
    """How far a reading may be off [assumed]: a share of what the gauge shows, and the thermometer."""

    gauge_share: float = 0.01
    kelvin: float = 1.0


USUAL = Sureness()


def check(reading: Reading, now: datetime | None = None) -> None:
    """Refuse, with one sentence in a ValueError, a reading that cannot have been taken.

    With `now`, also one in the future, beyond what two clocks may differ.
    """
    need(reading.at.utcoffset() is not None, gettext("The time of the reading must say its time zone."))
    not_negative(reading.pressure_pa, gettext("pressure on the gauge"))
    not_negative(reading.step_pa, gettext("step of the gauge"))
    kelvin = reading.temperature_k
    need(
        isfinite(kelvin) and COLDEST_K <= kelvin <= WARMEST_K,
        gettext("No tube is tested at that temperature; write the casing's, such as 20 °C or 68 °F."),
    )
    if reading.height_m is not None:
        air.standard_atmosphere(reading.height_m)
    if now is not None and reading.instant > now.astimezone(UTC) + CLOCK_SLACK:
        here = now.astimezone(reading.at.tzinfo)
        raise ValueError(
            gettext(
                "The reading of %(at)s lies in the future; it is %(here)s now. Write the "
                "time at which the gauge was read."
            )
            % {"at": moment(reading.at), "here": moment(here)}
        )


def in_order(readings: Iterable[Reading]) -> list[list[Reading]]:
    """The readings by their true time, those of one instant together."""
    ordered = sorted(readings, key=_sort_key)
    return [list(group) for _, group in groupby(ordered, key=lambda reading: reading.instant)]


def as_one(group: list[Reading]) -> Reading:
    """The mean of the readings of one instant; what was typed is that of the first."""
    return replace(
        group[0],
        pressure_pa=fmean(reading.pressure_pa for reading in group),
        temperature_k=fmean(reading.temperature_k for reading in group),
        step_pa=max(reading.step_pa for reading in group),
    )


def unsure(reading: Reading, outside_pa: float, sureness: Sureness = USUAL) -> float:
    """By how many Pa the reading may be off: gauge, its step and the thermometer.

    Independent errors, so their squares add up (ISO/IEC Guide 98-3).
    """
    return hypot(*_errors(reading, outside_pa, sureness))


def most_unsure(reading: Reading, outside_pa: float, sureness: Sureness = USUAL) -> float:
    """The same in Pa when every error pulls the same way: what lies beyond it is no error of reading."""
    return sum(_errors(reading, outside_pa, sureness))


def unit_of(reading: Reading) -> str:
    """The unit that a reading was typed in, lower case; empty where none was."""
    return reading.typed.strip().lstrip("0123456789.,/ ").lower()


def _errors(reading: Reading, outside_pa: float, sureness: Sureness) -> tuple[float, float, float]:
    by_warmth = (reading.pressure_pa + outside_pa) / reading.temperature_k * sureness.kelvin
    return sureness.gauge_share * reading.pressure_pa, reading.step_pa / 2, by_warmth


def _sort_key(reading: Reading) -> tuple[datetime, float, float, float, str]:
    height_m = -1e9 if reading.height_m is None else reading.height_m
    return reading.instant, reading.pressure_pa, reading.temperature_k, height_m, reading.typed
