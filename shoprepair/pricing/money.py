"""Amounts of money: rounded as the shop rounds, said as people say them, read as people type them."""

import re
from collections.abc import Iterable
from copy import copy
from decimal import ROUND_HALF_UP, Decimal

from babel import Locale
from babel.numbers import format_currency, get_currency_precision, get_currency_symbol
from django.utils.translation import gettext

from shoprepair.shop.languages import active, thousands

CENT = Decimal("0.01")
MOST = Decimal("99999999.99")
"""The largest amount that is kept."""
_SMALL, _FINE = Decimal("0.1"), 3
"""Below it half a cent is a twentieth and more, so that so many decimals are read."""
_SPACES = re.compile(r"[\s\u00a0\u202f'\u2019\u200e\u200f\u061c]")
"""Blanks, what stands for one between thousands, and the marks that turn a figure's direction of writing."""
_LETTERS_BEFORE = re.compile(r"([A-Za-z])(\d)")
"""A currency said in letters, which the locales part from the figure."""
_COMMAS = re.compile(r"(?P<whole>\d{1,3}(?:,\d{3})+|\d+)?(?:\.(?P<part>\d{1,2}))?")
_DOTS = re.compile(r"(?P<whole>\d{1,3}(?:\.\d{3})+|\d+)?(?:,(?P<part>\d{1,2}))?")


def rounded(amount: Decimal, step: Decimal) -> Decimal:
    """The amount in whole steps of the shop's rounding, halves up; always with two decimals."""
    if step <= 0:
        raise ValueError(gettext("A rounding step is more than nought."))
    return ((amount / step).quantize(Decimal(1), ROUND_HALF_UP) * step).quantize(CENT)


def within(value: Decimal | int, most: Decimal) -> bool:
    """Whether a figure lies between nought and `most` and has two decimals at most, so that none is lost."""
    value = Decimal(value)
    return value.is_finite() and 0 <= value <= most and value == value.quantize(CENT)


def step_for(rounding: Decimal | str, currency: str) -> Decimal:
    """The rounding step, at least the smallest coin of the currency: no cents of a yen."""
    coin = Decimal(1).scaleb(-get_currency_precision(currency))
    return max(Decimal(rounding), coin, CENT)


def say(amount: Decimal, currency: str, locale: str = "") -> str:
    """The amount as the locale, else the language spoken, writes it: "$1,234.50". Nothing is rounded away."""
    shown = amount == rounded(amount, step_for(CENT, currency))
    said = format_currency(amount, currency, locale=locale or active(), currency_digits=shown)
    return _LETTERS_BEFORE.sub("\\1\u00a0\\2", said)


def say_alike(amounts: Iterable[Decimal], currency: str) -> list[str]:
    """Amounts that stand in one column, all to the cent, or all a tenth of it where one is so small.

    A metre of thread at "$0.024" would lose a sixth as "$0.02"; above it a hose is "$9.900", so that the
    points stand beneath one another.
    """
    column = list(amounts)
    if all(amount >= _SMALL or amount == rounded(amount, CENT) for amount in column):
        return [say(rounded(amount, step_for(CENT, currency)), currency) for amount in column]
    here = Locale.parse(active())
    pattern = copy(here.currency_formats["standard"])
    pattern.frac_prec = (_FINE, _FINE)
    said = [pattern.apply(amount, here, currency=currency, currency_digits=False) for amount in column]
    return [_LETTERS_BEFORE.sub("\\1\u00a0\\2", each) for each in said]


def read(text: str, currency: str) -> Decimal:
    """An amount as people type it: "1,234.50", "1.234,50", "12,50", "$12", "12 USD".

    Raises ValueError with one sentence: for nothing, for less than nought, for another currency, and
    where a dot before three digits leaves open whether it parts thousands.
    """
    figures = _figures(text, currency)
    if figures.startswith(("-", "\u2212")):
        raise ValueError(gettext("An amount cannot be below nought. Write it without the minus."))
    if not re.fullmatch(r"[0-9.,]*[0-9][0-9.,]*", figures):
        raise ValueError(gettext("Write an amount in figures, such as 12.50."))
    if re.fullmatch(r"\d*\.\d{3}|0+,\d{3}", figures):
        raise ValueError(gettext("Write an amount with two decimals or none: 12.50, or 1250 without a dot."))
    match = _COMMAS.fullmatch(figures) or _DOTS.fullmatch(figures)
    if match is None:
        raise ValueError(gettext("Write an amount with two decimals or none, such as 1,234.50."))
    whole = re.sub(r"[.,]", "", match["whole"] or "0")
    if len(whole.lstrip("0")) > 8:
        raise ValueError(
            gettext("That is too much. The largest amount is %(MOST)s.") % {"MOST": thousands(MOST)}
        )
    return Decimal(f"{whole}.{match['part'] or '0'}").quantize(CENT)


def _figures(text: str, currency: str) -> str:
    """What is left of the typing without blanks and without the shop's own currency."""
    figures = _SPACES.sub("", text)
    if not figures:
        raise ValueError(gettext("Write an amount, such as 12.50."))
    symbols = (get_currency_symbol(currency, locale=each) for each in (active(), "en"))
    for sign in (currency, *(_SPACES.sub("", symbol) for symbol in symbols)):
        minus, rest = ("-", figures[1:]) if figures.startswith("-") else ("", figures)
        if rest.upper().startswith(sign.upper()):
            rest = rest[len(sign) :]
        elif rest.upper().endswith(sign.upper()):
            rest = rest[: -len(sign)]
        figures = minus + rest
    if re.fullmatch(r"([A-Za-z]{3}|[$€£¥])[0-9.,]+|[0-9.,]+([A-Za-z]{3}|[$€£¥])", figures):
        raise ValueError(
            gettext("The shop counts in %(currency)s. Write the amount in that, such as 12.50.")
            % {"currency": currency}
        )
    return figures
