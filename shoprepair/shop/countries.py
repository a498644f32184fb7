"""What is usual where a shop stands: money, clock, paper and units, so that a beginner types none of it."""

from decimal import Decimal
from functools import cache
from typing import NamedTuple
from zoneinfo import available_timezones

from babel import Locale, UnknownLocaleError
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

_TAXES = """
AE:5 AT:20 AU:10 BE:21 BG:20 CH:8.1 CL:19 CO:19 CY:19 CZ:21 DE:19 DK:25 EE:24 ES:21 FI:25.5 FR:20 GB:20
GR:24 HR:25 HU:27 IE:23 IS:24 IT:22 JP:10 KR:10 LT:21 LU:17 LV:21 MA:20 MT:18 MX:16 NL:21 NO:25 NZ:15
PE:18 PH:12 PL:23 PT:23 RO:21 SE:25 SI:22 SK:23 TH:7 TR:20 ZA:15
"""
TAXES = {code: Decimal(percent) for code, percent in (each.split(":") for each in _TAXES.split())}
"""The usual rate of a tax on sales, in percent: proposed, for the owner to check. Where it differs from
place to place, as in the United States, none is proposed."""


class Usual(NamedTuple):
    """Settings of a shop by where it stands, under the names of their fields."""

    currency: str
    time_zone: str
    paper: str
    pressure_unit: str
    length_unit: str
    temperature_unit: str
    week_begins: int


def usual(country: str) -> Usual:
    """What is usual in a country of two letters; what most of the world has where it is not known."""
    return Usual(
        currency=next(iter(get_territory_currencies(country)), "USD") if country in codes() else "USD",
        time_zone=_zone(country),
        paper=Paper.LETTER if country in LETTER else Paper.A4,
        pressure_unit=PressureUnit.PSI if country in PSI else PressureUnit.BAR,
        length_unit=LengthUnit.INCH if country in INCHES else LengthUnit.MM,
        temperature_unit=TemperatureUnit.FAHRENHEIT if country in FAHRENHEIT else TemperatureUnit.CELSIUS,
        week_begins=_first_weekday(country),
    )


def tax(time_zone: str) -> Decimal | None:
    """The usual tax on sales where a clock is read; None where none can be proposed."""
    return TAXES.get(get_global("zone_territories").get(time_zone, ""))


def of_zone(time_zone: str) -> str:
    """The country in which a clock is read; empty where it is of none."""
    found = str(get_global("zone_territories").get(time_zone, ""))
    return found if found in codes() else ""


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
def _first_weekday(country: str) -> int:
    """The number of the weekday with which calendars begin there, Monday 0; Monday where it is not known."""
    try:
        return Locale.parse(f"und_{country}").first_week_day if country in codes() else 0
    except (UnknownLocaleError, ValueError):
        return 0


@cache
def _zone(country: str) -> str:
    known = available_timezones()
    there = sorted(zone for zone, where in get_global("zone_territories").items() if where == country)
    found = [MAIN_ZONE.get(country, ""), *there]
    return next((zone for zone in found if zone in known), "UTC")
