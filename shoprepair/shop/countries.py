"""What is usual where a shop stands: money, clock, paper and units, so that a beginner types none of it."""

from functools import cache
from typing import NamedTuple
from zoneinfo import available_timezones

from babel import Locale
from babel.core import get_global
from babel.numbers import get_territory_currencies

from shoprepair.shop.languages import active
from shoprepair.shop.models import LengthUnit, Paper, PressureUnit, TemperatureUnit

LETTER = frozenset({"US", "CA", "MX", "CL", "CO", "CR", "DO", "GT", "NI", "PA", "PH", "PR", "SV", "VE"})
PSI = frozenset({"US", "CA", "GB", "IE", "AU", "NZ", "ZA", "PR"})
INCHES = FAHRENHEIT = frozenset({"US", "PR"})
MAIN_ZONE = {
    "AR": "America/Argentina/Buenos_Aires",
    "AU": "Australia/Sydney",
    "BR": "America/Sao_Paulo",
    "CA": "America/Toronto",
    "CL": "America/Santiago",
    "DE": "Europe/Berlin",
    "EC": "America/Guayaquil",
    "ES": "Europe/Madrid",
    "ID": "Asia/Jakarta",
    "MX": "America/Mexico_City",
    "NZ": "Pacific/Auckland",
    "PF": "Pacific/Tahiti",
    "PT": "Europe/Lisbon",
    "US": "America/New_York",
}
"""Of countries with several, the clock that most people read; the owner may choose another."""


class Usual(NamedTuple):
    """Settings of a shop by where it stands, under the names of their fields."""

    currency: str
    time_zone: str
    paper: str
    pressure_unit: str
    length_unit: str
    temperature_unit: str


def usual(country: str) -> Usual:
    """What is usual in a country of two letters; what most of the world has where it is not known."""
    return Usual(
        currency=next(iter(get_territory_currencies(country)), "USD") if country in codes() else "USD",
        time_zone=_zone(country),
        paper=Paper.LETTER if country in LETTER else Paper.A4,
        pressure_unit=PressureUnit.PSI if country in PSI else PressureUnit.BAR,
        length_unit=LengthUnit.INCH if country in INCHES else LengthUnit.MM,
        temperature_unit=TemperatureUnit.FAHRENHEIT if country in FAHRENHEIT else TemperatureUnit.CELSIUS,
    )


@cache
def codes() -> frozenset[str]:
    """The countries that have a clock and money of their own."""
    return frozenset(
        country
        for country in get_global("zone_territories").values()
        if len(country) == 2 and country.isalpha() and country != "ZZ" and get_territory_currencies(country)
    )


def names() -> list[tuple[str, str]]:
    """Every country by its name in the reader's language, as the choices of a list."""
    said = Locale.parse(active(), sep="-").territories
    return sorted(((code, said.get(code, code)) for code in codes()), key=lambda each: each[1].casefold())


def guess(accepted: str) -> str:
    """The country that a browser's languages speak of: "de-CH,de;q=0.9" of Switzerland; empty of none."""
    likely = get_global("likely_subtags")
    for wanted in accepted.split(","):
        language, *more = wanted.split(";")[0].strip().split("-")
        country = next((each.upper() for each in more if len(each) == 2), "")
        country = country or str(likely.get(language.lower(), "")).rpartition("_")[2]
        if country in codes():
            return country
    return ""


@cache
def _zone(country: str) -> str:
    known = available_timezones()
    there = sorted(zone for zone, where in get_global("zone_territories").items() if where == country)
    found = [MAIN_ZONE.get(country, ""), *there]
    return next((zone for zone in found if zone in known), "UTC")
