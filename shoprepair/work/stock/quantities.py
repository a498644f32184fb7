"""How much of a material, as people write and read it: exact decimals in the material's own unit.

Conversion factors: the international yard and pound agreement of 1959 (1 in = 25.4 mm exactly).
"""

import re
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from django.utils.translation import gettext

from shoprepair.shop.counted import counted
from shoprepair.shop.languages import written

STEP = Decimal("0.001")
"""The finest that is kept: a millimetre of tape, a square of 3 cm of cloth."""
MOST = Decimal("99999")
"""More than a shop can hold of anything."""
NOUGHT = Decimal(0)
LONGEST_TYPING = 24
_ONE = Decimal(1)
_FOOT = Decimal("0.3048")
_IN_UNIT: dict[str, dict[str, Decimal]] = {
    "m": {
        **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), _ONE),
        "cm": Decimal("0.01"),
        "mm": Decimal("0.001"),
        **dict.fromkeys(("in", "inch", "inches", '"'), Decimal("0.0254")),
        **dict.fromkeys(("ft", "foot", "feet", "'"), _FOOT),
        **dict.fromkeys(("yd", "yard", "yards"), 3 * _FOOT),
    },
    "m2": {
        **dict.fromkeys(("m2", "m²", "sqm", "sq m", "qm"), _ONE),
        **dict.fromkeys(("cm2", "cm²", "sq cm", "qcm"), Decimal("0.0001")),
        **dict.fromkeys(("ft2", "ft²", "sq ft"), _FOOT**2),
        **dict.fromkeys(("yd2", "yd²", "sq yd"), (3 * _FOOT) ** 2),
    },
    "piece": dict.fromkeys(("piece", "pieces", "pc", "pcs", "pc.", "pcs."), _ONE),
}
_SIGNS = {"m": "m", "m2": "m²"}
_EXAMPLES = {"m": "0.35 or 35 cm", "m2": "0.35", "piece": "2"}
_READ_TO = ((Decimal(10), 2), (Decimal(100), 1), (Decimal("Infinity"), 0))
"""Up to where so many decimals are read on a shelf."""
_FIGURE = re.compile(r"(?P<figure>\d+(?:[.,]\d*)?|[.,]\d+)\s*(?P<unit>[^\d.,+-]*[2²]?)")


def say_quantity(quantity: Decimal, unit: str) -> str:
    """A quantity with its unit, without idle noughts: "0.35 m²", "12 m", "1 piece", "3 pieces"."""
    figure = say_figure(quantity)
    if unit in _SIGNS:
        return f"{figure} {_SIGNS[unit]}"
    return counted(1 if quantity == 1 else 2, "piece", figure)


def say_level(quantity: Decimal, unit: str) -> str:
    """A quantity as a shelf is read: no finer than scissors cut, about three figures of it.

    Two decimals below ten, one below a hundred, none from there on; what would be rounded to nothing is said
    as exactly as it is kept. What somebody typed, or is to cut off now, is said by `say_quantity`.
    """
    places = next(places for end, places in _READ_TO if abs(quantity) < end)
    read = quantity.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    return say_quantity(read or quantity, unit)


def say_figure(quantity: Decimal) -> str:
    """The bare figure: "0.35", "12", "-1.5"."""
    exact = kept(quantity)
    figure = f"{exact.normalize():f}" if exact else "0"
    return written(figure.replace("-", "−"))


def read_quantity(text: str, unit: str) -> Decimal:
    """Read "0,35", "35 cm", "2 ft", "0.2 m²" or "3 pcs" in the material's unit, to the nearest thousandth.

    Nought is read as nought: whether it can be is for the caller to say. Raises ValueError with one
    sentence for anything else that is no quantity of this unit.
    """
    plain = " ".join(text.replace("−", "-").split())
    example = _EXAMPLES[unit]
    if not plain:
        raise ValueError(gettext("Write how much, such as %(example)s.") % {"example": example})
    if plain.startswith("-"):
        raise ValueError(
            gettext("A quantity cannot be below nought; write it as %(example)s.") % {"example": example}
        )
    found = _FIGURE.fullmatch(plain) if plain.isascii() or not _odd_figures(plain) else None
    if found is None or len(plain) > LONGEST_TYPING:
        raise ValueError(
            gettext("“%(plain)s” cannot be read as a quantity; write it as %(example)s.")
            % {"plain": plain[:LONGEST_TYPING], "example": example}
        )
    _one_way_only(found["figure"], plain)
    figure = Decimal(found["figure"].replace(",", ".").rstrip(".") or "0")
    return _sensible(figure * _factor(found["unit"].strip().lower(), unit), plain)


def kept(quantity: Decimal) -> Decimal:
    """To the nearest thousandth, as it is stored."""
    return quantity.quantize(STEP, ROUND_HALF_UP)


def enough(quantity: Decimal) -> Decimal:
    """To the next thousandth, never less than is needed."""
    return quantity.quantize(STEP, ROUND_CEILING)


def _odd_figures(plain: str) -> bool:
    return any(letter.isnumeric() and not letter.isascii() and letter != "²" for letter in plain)


def _one_way_only(figure: str, plain: str) -> None:
    """1,250 is a thousand to one reader and one and a quarter to another."""
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", figure):
        raise ValueError(
            gettext("%(plain)s can be read in two ways; write %(replace)s, or %(replace_2)s with a point.")
            % {"plain": plain, "replace": figure.replace(",", ""), "replace_2": figure.replace(",", ".")}
        )


def _factor(spelling: str, unit: str) -> Decimal:
    if not spelling:
        return _ONE
    table = _IN_UNIT[unit]
    if spelling in table:
        return table[spelling]
    counted = {"m": "metres", "m2": gettext("square metres"), "piece": "pieces"}[unit]
    raise ValueError(
        gettext("This material is counted in %(counted)s; write it as %(EXAMPLES)s.")
        % {"counted": counted, "EXAMPLES": _EXAMPLES[unit]}
    )


def _sensible(quantity: Decimal, plain: str) -> Decimal:
    if quantity > MOST:
        raise ValueError(
            gettext("%(plain)s is more than a shop can hold; the most is %(MOST)s.")
            % {"plain": plain, "MOST": MOST}
        )
    if quantity and kept(quantity) == 0:
        raise ValueError(
            gettext("%(plain)s is less than can be measured; the least is %(STEP)s.")
            % {"plain": plain, "STEP": STEP}
        )
    return kept(quantity)
