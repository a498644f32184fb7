"""SI figures written out in the reader's units, rounded as the shop would round them."""

import math
import re
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.shop.counted import counted
from shoprepair.shop.languages import active, written
from shoprepair.shop.said import again, keep
from shoprepair.shop.units.choice import Units
from shoprepair.shop.units.reading import METRES, PASCAL

INFINITE = "∞"
_ENDS = re.compile(r"(?<=[.!?])( )(?=[A-Z“])")
"""Between two sentences that were kept as one."""
_SIGNS = re.compile(r"( [×÷+] |: |^\(|\)$)")
"""Between the terms of a formula, and around some of them."""


def say(sentence: Sentence, units: Units) -> str:
    """The sentence with every figure written out."""
    text = in_words(sentence.text)
    return text.format(**{name: say_quantity(q, units) for name, q in sentence.values.items()})


def in_words(text: str) -> str:
    """What the numbers say, kept in English, in the reader's language: whole, else by its parts."""
    said = gettext(text) if text else ""
    if said != text or active() == "en":
        return said
    parts = _ENDS.split(text)
    if len(parts) == 1:
        parts = _SIGNS.split(text)
    if len(parts) == 1:
        return f"{gettext(text[:-1])}." if text[:-1] and text.endswith(".") else text
    return "".join(part if number % 2 else in_words(part) for number, part in enumerate(parts))


def say_quantity(quantity: Quantity, units: Units) -> str:
    """A quantity of any unit an assessment uses, in the reader's own."""
    if math.isinf(quantity.value):
        return INFINITE
    if math.isnan(quantity.value):
        return gettext("not known")
    if in_units := _IN_READERS_UNITS.get(quantity.unit):
        return in_units(quantity.value, units)
    if for_all := _SAME_FOR_ALL.get(quantity.unit):
        return for_all(quantity.value)
    return f"{_three_figures(quantity.value)} {quantity.unit}".strip()


def say_length(metres: float, units: Units) -> str:
    """Whole millimetres below a metre, metres with two places above; or inches in eighths, then feet."""
    if units.inches:
        return _inches(metres / METRES["in"])
    if abs(metres) < 0.9995:
        return f"{_small(metres * 1000)} mm"
    return f"{written(f'{metres:.2f}')} m"


def say_pressure(pascal: float, units: Units) -> str:
    """A gauge pressure: bar with two places, psi with one, kPa whole; that of wind with two figures."""
    figure = pascal / PASCAL[units.pressure]
    places = {"bar": 2, "psi": 1}.get(units.pressure, 0 if abs(figure) >= 10 else 1)
    small = 0 < abs(figure) < 5 * 10**-places
    said = _plainly(figure, 2) if small else f"{figure:.{places}f}"
    return f"{written(said)} {units.pressure}"


def say_line_load(n_per_m: float, units: Units) -> str:
    """A line load or a strip strength in kN/m with two places: the trade reads cloth so everywhere."""
    del units
    return f"{written(f'{n_per_m / 1000:.2f}')} kN/m"


def say_temperature(kelvin: float, units: Units) -> str:
    """A temperature in whole degrees."""
    celsius = kelvin - 273.15
    degrees = round(celsius * 1.8 + 32 if units.temperature == "°F" else celsius)
    return f"{degrees} {units.temperature}"


def say_typed(value_si: float, typed: str, units: Units) -> str:
    """A length or pressure as it was typed where the reader uses that unit, else in the reader's units.

    No other figure is told in centimetres: those are told in millimetres or metres, to the last digit.
    """
    pressure = any(typed.endswith(unit) for unit in PASCAL)
    said = say_pressure(value_si, units) if pressure else say_length(value_si, units)
    if not typed or (pressure and not typed.endswith(units.pressure)):
        return said
    inches = any(mark in typed for mark in ("in", "ft", "'", '"', "′", "″", "”", "’"))
    if not pressure and not inches and not units.inches and "cm" in typed:
        return _exactly(value_si)
    return typed if pressure or inches == units.inches else said


def _exactly(metres: float) -> str:
    """A length with all the figures that it has, down to a tenth of a millimetre."""
    if abs(metres) < 0.9995:
        return f"{written(f'{metres * 1000:.1f}'.removesuffix('.0'))} mm"
    return f"{written(f'{metres:.4f}'.rstrip('0').rstrip('.'))} m"


def sentence(stored: Sentence | dict[str, Any] | str) -> Sentence:
    """A sentence, also from the form in which an assessment is stored; plain words hold no figures.

    What was kept of its making (`stored_sentence`) says it in the language that is spoken now.
    """
    if isinstance(stored, Sentence):
        return stored
    if isinstance(stored, str):
        return Sentence(stored.replace("{", "{{").replace("}", "}}"))
    text = again(stored["kept"]) if stored.get("kept") else stored["text"]
    return Sentence(text, {name: quantity(q) for name, q in stored.get("values", {}).items()})


def stored_sentence(said: Sentence) -> dict[str, Any]:
    """A sentence as JSON takes it: as it was said, its figures in SI, and what it can be said anew from."""
    kept = keep(said.text)
    return {
        "text": str(said.text),
        "values": {name: {"value": q.value, "unit": q.unit} for name, q in said.values.items()},
    } | ({"kept": kept} if isinstance(kept, list) else {})


def quantity(stored: Quantity | dict[str, Any]) -> Quantity:
    """A quantity, also from the form in which an assessment is stored, where infinity is a word."""
    if isinstance(stored, Quantity):
        return stored
    return Quantity(float(stored["value"]), stored["unit"])


def _small(figure: float) -> str:
    """Whole where that says enough; one or two significant figures below three."""
    if abs(figure) >= 2.95:
        return f"{figure:.0f}"
    return _two_figures(figure)


def _two_figures(figure: float) -> str:
    return written(f"{float(f'{figure:.2g}'):.3f}".rstrip("0").rstrip("."))


def _inches(inches: float) -> str:
    if abs(inches) < 3 / 16:
        return f"{_two_figures(inches)} in"
    if abs(inches) < 12 - 1 / 16:
        return f"{_eighths(inches)} in"
    if abs(inches) < 119.95:
        return f"{written(f'{inches:.1f}')} in"
    feet, rest = divmod(round(inches), 12)
    return f"{feet} ft {rest} in" if rest else f"{feet} ft"


def _eighths(inches: float) -> str:
    eighths = round(abs(inches) * 8)
    whole, rest = divmod(eighths, 8)
    sign = "-" if inches < 0 else ""
    return sign + " ".join(str(part) for part in (whole, Fraction(rest, 8)) if part)


def _bare(figure: float) -> str:
    """A count whole, a ratio with two places."""
    if isinstance(figure, int) or abs(figure) >= 10:
        return _three_figures(figure)
    return written(f"{figure:.2f}")


def _three_figures(figure: float) -> str:
    if abs(figure) >= 1000:
        return f"{figure:,.0f}".replace(",", " ")
    return written(_plainly(figure, 3))


def _plainly(figure: float, figures: int) -> str:
    """So many significant figures, and never a power of ten: the shop reads 0.000012, not 1.2e-05."""
    return f"{Decimal(f'{figure:.{figures}g}').normalize():f}"


def _duration(seconds: float) -> str:
    for unit, length in ((gettext("days"), 86400), (gettext("hours"), 3600), ("min", 60)):
        if seconds >= 2 * length or (unit == "min" and seconds >= 60):
            return f"{_three_figures(float(f'{seconds / length:.2g}'))} {unit}"
    return f"{_three_figures(float(f'{seconds:.2g}'))} s"


def say_bench_time(minutes: Decimal | float) -> str:
    """Time at the bench as everybody says it: "45 min", "1 h 50 min", "2 h"; to the whole minute."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def _moment(seconds: float) -> str:
    at = datetime.fromtimestamp(seconds, timezone.get_current_timezone())
    return gettext("%(at)s on %(day)s") % {"at": f"{at:%H:%M}", "day": date_format(at, "D j M")}


def _force(newton: float) -> str:
    return f"{written(f'{newton / 1000:.2f}')} kN" if abs(newton) >= 1000 else f"{_three_figures(newton)} N"


_IN_READERS_UNITS = {"m": say_length, "N/m": say_line_load, "Pa": say_pressure, "K": say_temperature}
_SAME_FOR_ALL: dict[str, Callable[[float], str]] = {
    "": _bare,
    "s": _duration,
    "s at the bench": lambda seconds: say_bench_time(seconds / 60),
    "N": _force,
    "N m": lambda moment: f"{_three_figures(moment)} N m",
    "m2": lambda area: f"{written(f'{area:.2f}')} m²",
    "m3": lambda volume: f"{_three_figures(volume * 1000)} l",
    "rad": lambda angle: f"{math.degrees(angle):.0f}°",
    "m/s": lambda speed: f"{_three_figures(speed)} m/s",
    "1/m": lambda count: f"{_three_figures(count)}/m",
    "day": lambda ordinal: date_format(date.fromordinal(round(ordinal)), "D j M"),
    "moment": lambda seconds: _moment(seconds),
    "job": lambda count: counted(round(count), "job"),
    "damage": lambda count: counted(round(count), "damage"),
}
"""Days by their ordinal and moments by their seconds, so that a sentence that is kept can name them."""
