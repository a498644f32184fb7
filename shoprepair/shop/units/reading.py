"""What somebody typed, as a length, a pressure or a temperature in SI, with the typing kept.

Conversion factors: the international yard and pound agreement of 1959 (1 in = 25.4 mm exactly,
1 lb = 0.45359237 kg exactly) with standard gravity 9.80665 m/s2; 1 bar = 100 kPa exactly.
"""

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext

from shoprepair.shop.languages import begun_large
from shoprepair.shop.units.choice import Units

LONGEST_TYPING = 20
METRES = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048}
PASCAL = {"bar": 1e5, "psi": 0.45359237 * 9.80665 / 0.0254**2, "kPa": 1e3, "Pa": 1.0, "mbar": 100.0}
MOST_PRESSURE_PA = 1.6e5
"""No tube of this trade is pumped, or tested, beyond it [common practice, no source]."""
LEAST_PRESSURE_PA = 1e3
USUAL_PRESSURE_PA = (0.2e5, 1.1e5)

_SPELLINGS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "''"), "in"),
    **dict.fromkeys(("ft", "ft.", "foot", "feet", "'"), "ft"),
    **dict.fromkeys(("bar", "bars"), "bar"),
    **dict.fromkeys(("psi", "lb/in2"), "psi"),
    "kpa": "kPa",
    "pa": "Pa",
    **dict.fromkeys(("mbar", "hpa"), "mbar"),
    **dict.fromkeys(("°c", "c", "celsius"), "°C"),
    **dict.fromkeys(("°f", "f", "fahrenheit"), "°F"),
    **dict.fromkeys(("k", "kelvin"), "K"),
}
_MARKS = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "⁄": "/", "−": "-", "–": "-", "º": "°"}
)
_NUMBER = r"(?:\d+[ -]\d+ ?/ ?\d+|\d+ ?/ ?\d+|\d*[.,]\d+|\d+[.,]?)"
_PART = re.compile(rf"\s*({_NUMBER})\s*([^\d\s.,+-][^\d\s,+-]*)?\s*")


@dataclass(frozen=True, slots=True)
class Typed:
    """A figure in SI beside the words it was typed in, with the unit that was understood."""

    value_si: float
    text: str


def read_length(text: str, units: Units, *, large: bool = False) -> Typed:
    """Read "35", "3.5 cm", "0,35 m", "1 3/8 in" or "1'6\\"" as metres.

    A bare figure is in millimetres or inches; with `large`, for spans and the like, in metres or
    feet. Zero is read as zero: whether it can be is for the caller to say.
    """
    example = "6.5 m or 21 ft" if large else gettext("35 mm or 1 3/8 in")
    bare = ("ft" if large else "in") if units.inches else ("m" if large else "mm")
    parts = _parts(text, METRES, bare, "a length", example)
    if [METRES[unit] for _, unit in parts] != sorted({METRES[unit] for _, unit in parts}, reverse=True):
        raise ValueError(
            gettext("“%(strip)s” cannot be read as one length; write it as %(example)s.")
            % {"strip": text.strip(), "example": example}
        )
    return Typed(sum(number * METRES[unit] for number, unit in parts), _kept(text, parts, bare))


def read_pressure(text: str, units: Units) -> Typed:
    """Read "0.5", "7 psi" or "48 kPa" as pascal above the air around, a bare figure in the reader's unit.

    Refuses what no tube holds and offers what was probably meant.
    """
    example = gettext("0.5 bar, 7 psi or 50 kPa")
    [(number, unit)] = _single(text, _parts(text, PASCAL, units.pressure, "a pressure", example), example)
    pascal = number * PASCAL[unit]
    said = f"{number:g} {unit}"
    if pascal > MOST_PRESSURE_PA:
        raise ValueError(_slip(said, _times(pascal), number, unit))
    if pascal < LEAST_PRESSURE_PA:
        raise ValueError(_slip(said, gettext("far less than"), number, unit))
    return Typed(pascal, _kept(text, [(number, unit)], units.pressure))


def read_temperature(text: str, units: Units) -> Typed:
    """Read "20", "68 °F" or "-5 C" as kelvin, from 40 °C of frost to 90 °C of heat."""
    example = "20 °C or 68 °F"
    plain = _plain(text, "a temperature", example)
    sign = -1 if plain.startswith("-") else 1
    table = {"°C": 1.0, "°F": 1.0, "K": 1.0}
    found = _parts(plain.lstrip("+-"), table, units.temperature, "a temperature", example)
    [(number, unit)] = _single(text, found, example)
    celsius = {"°C": number * sign, "°F": (number * sign - 32) / 1.8, "K": number * sign - 273.15}[unit]
    if not -40 <= celsius <= 90:
        raise ValueError(
            gettext("%(value)s %(unit)s is no temperature of a workshop or a beach; write it as %(example)s.")
            % {"value": f"{number * sign:g}", "unit": unit, "example": example}
        )
    return Typed(celsius + 273.15, _kept(text, [(number, unit)], units.temperature))


def _plain(text: str, what: str, example: str) -> str:
    plain = " ".join(text.translate(_MARKS).split())
    if not plain:
        raise ValueError(gettext("Write %(what)s, such as %(example)s.") % {"what": what, "example": example})
    if len(plain) > LONGEST_TYPING:
        raise ValueError(
            gettext("That is too long for %(what)s; write it as %(example)s.")
            % {"what": what, "example": example}
        )
    if any(letter.isdigit() and not letter.isascii() for letter in plain):
        raise ValueError(
            gettext("Please write the figures as 0 to 9, such as %(example)s.") % {"example": example}
        )
    return re.sub(r"(\d?)([¼½¾⅐-⅞])", _vulgar, plain)


def _vulgar(match: re.Match[str]) -> str:
    """1½ as 1 1/2."""
    fraction = Fraction(unicodedata.numeric(match[2])).limit_denominator(10)
    return f"{match[1]} {fraction}".strip()


def _parts(text: str, table: dict[str, float], bare: str, what: str, example: str) -> list[tuple[float, str]]:
    """Every figure with its unit. A figure without one follows feet as inches, else is in `bare`."""
    plain = _plain(text, what, example)
    if plain.startswith("-"):
        raise ValueError(
            gettext("%(capitalize)s cannot be negative; write it as %(example)s.")
            % {"capitalize": begun_large(what), "example": example}
        )
    found: list[tuple[float, str]] = []
    at = 0
    while at < len(plain):
        part = _PART.match(plain, at)
        unit = part and _unit(part[2], table, bare if not found else {"ft": "in"}.get(found[-1][1], ""))
        if not part or not unit:
            raise ValueError(
                gettext("“%(strip)s” cannot be read as %(what)s; write it as %(example)s.")
                % {"strip": text.strip(), "what": what, "example": example}
            )
        found.append((_number(part[1]), unit))
        at = part.end()
    return found


def _unit(spelling: str | None, table: dict[str, float], bare: str) -> str:
    unit = _SPELLINGS.get(spelling.lower(), "") if spelling else bare
    return unit if unit in table else ""


def _number(written: str) -> float:
    """A decimal with point or comma, a fraction, or a whole with a fraction."""
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", written):
        plain = written.replace(",", "")
        raise ValueError(
            gettext("%(written)s can be read in two ways; write %(plain)s, or %(replace)s with a point.")
            % {"written": written, "plain": plain, "replace": written.replace(",", ".")}
        )
    if "/" not in written:
        return float(written.replace(",", "."))
    *whole, above, below = (int(figure) for figure in re.findall(r"\d+", written))
    if below == 0:
        raise ValueError(
            gettext("%(written)s divides by nothing; write a fraction such as 3/8.") % {"written": written}
        )
    return sum(whole) + above / below


def _single(text: str, parts: list[tuple[float, str]], example: str) -> list[tuple[float, str]]:
    if len(parts) != 1:
        raise ValueError(
            gettext("“%(strip)s” holds more than one figure; write one, such as %(example)s.")
            % {"strip": text.strip(), "example": example}
        )
    return parts


def _kept(text: str, parts: list[tuple[float, str]], bare: str) -> str:
    """What was typed, with the unit that was understood where none was written."""
    kept = " ".join(text.split())
    return f"{kept} {bare}" if len(parts) == 1 and kept[-1].isnumeric() else kept


def _times(pascal: float) -> str:
    tens = pascal / USUAL_PRESSURE_PA[1]
    if 5 <= tens < 200:
        return gettext("ten times what") if tens < 20 else gettext("a hundred times what")
    return gettext("far more than")


def _slip(said: str, compared: str, number: float, unit: str) -> str:
    """The sentence for a pressure in the wrong unit or a decimal place off, with what was probably meant."""
    low, high = USUAL_PRESSURE_PA
    meant = [
        f"{number / tens:g} {other}"
        for other in ("psi", "bar", "kPa")
        for tens in (1, 10, 100)
        if low <= number / tens * PASCAL[other] <= high and (other, tens) != (unit, 1)
    ]
    question = (
        gettext("did you mean %(meant)s?") % {"meant": _or(meant)}
        if meant
        else gettext("write it as 0.5 bar or 7 psi.")
    )
    return gettext("%(said)s is %(compared)s such a tube holds; %(question)s") % {
        "said": said,
        "compared": compared,
        "question": question,
    }


def _or(words: list[str]) -> str:
    return (
        words[0]
        if len(words) == 1
        else gettext("%(join)s or %(words)s") % {"join": ", ".join(words[:-1]), "words": words[-1]}
    )
