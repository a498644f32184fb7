"""What somebody read off a gauge, as typed: nothing left in the tube is a reading too."""

import re

from django.utils.translation import gettext

from shoprepair.shop.units import Typed, Units, read_pressure
from shoprepair.shop.units.reading import LONGEST_TYPING, PASCAL

_NOTHING = re.compile(r"0+(?:[.,]0*)?\s*(bar|psi|kpa|pa|mbar)?", re.IGNORECASE)
_BARE_NOUGHT = re.compile(r"\s*0+(?![\d.,])")
_FIGURE = re.compile(r"\d*(?:[.,](\d*))?")
_FRACTION = re.compile(r"/ ?(\d+)")
_PASCAL = {name.casefold(): pascal for name, pascal in PASCAL.items()} | {
    "bars": PASCAL["bar"],
    "lb/in2": PASCAL["psi"],
    "hpa": PASCAL["mbar"],
}


def read_gauge(text: str, units: Units) -> Typed:
    """A pressure as `read_pressure` takes it, or 0 for a tube that is empty. Raises ValueError likewise."""
    plain = " ".join(text.split())
    if nothing := _NOTHING.fullmatch(plain):
        typed = Typed(0.0, plain if nothing[1] else f"{plain} {units.pressure}")
    else:
        typed = read_pressure(text, units)
    if len(typed.text) > LONGEST_TYPING:
        raise ValueError(gettext("That is too long for a pressure; write it as 0.5 bar or 7 psi."))
    return typed


def step_pa(typed: str) -> float:
    """The step in Pa that a typed figure shows: 0.01 bar for '0.49 bar', half a psi for '7 1/2 psi'.

    A bare 0 is written of any gauge and shows none.
    """
    if _BARE_NOUGHT.match(typed):
        return 0.0
    unit = typed.strip().lstrip("0123456789.,/ ").casefold()
    pascal = _PASCAL.get(unit, 0.0)
    if fraction := _FRACTION.search(typed):
        return pascal / (int(fraction[1]) or 1)
    found = _FIGURE.match(typed.strip())
    return pascal / 10.0 ** len((found and found[1]) or "")
