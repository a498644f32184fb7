"""Fields for figures: read in the owner's words, kept in SI, and kept exactly where nothing was typed."""

import math
from collections.abc import Callable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

LONGEST = 20


class FigureField(forms.CharField):
    """A figure shown by `say` and read by `read`, both about SI values.

    What is shown is rounded; so a field that comes back as it was shown keeps the stored value
    to its last digit. `unit` stands beside the box of what is written in no other.
    """

    def __init__(
        self,
        *,
        stored: float | None = None,
        say: Callable[[float], str],
        read: Callable[[str], float],
        low: float,
        high: float,
        unit: str = "",
        **kwargs: Any,
    ) -> None:
        self.unit = unit
        self.stored, self.say, self.read, self.low, self.high = stored, say, read, low, high
        kwargs.setdefault("initial", "" if stored is None else say(stored))
        kwargs.setdefault(
            "error_messages", {"required": gettext("Write a figure %(range)s.") % {"range": self.range()}}
        )
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(max_length=None, **kwargs)

    def range(self) -> str:
        return gettext("between %(say)s and %(say_2)s") % {
            "say": self.say(self.low),
            "say_2": self.say(self.high),
        }

    def clean(self, value: Any) -> float | None:
        text = super().clean(value)
        if not text:
            return None
        if self.stored is not None and text == self.initial:
            return self.stored
        return self._within(self._read(text))

    def _read(self, text: str) -> float:
        try:
            return self.read(text)
        except ValueError as refused:
            raise ValidationError(str(refused)) from refused

    def _within(self, figure: float) -> float:
        if not self.low * (1 - 1e-9) <= figure <= self.high * (1 + 1e-9) and figure not in (
            self.low,
            self.high,
        ):
            raise ValidationError(
                gettext("%(say)s is out of range; write a figure %(range)s.")
                % {"say": self.say(figure), "range": self.range()}
            )
        return figure


def read_number(text: str) -> float:
    """A plain number with a point or a comma. Raises ValueError with a sentence."""
    plain = text.strip().replace(",", ".").replace("−", "-")
    try:
        number = float(plain) if len(plain) <= LONGEST and plain.isascii() and "_" not in plain else math.nan
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise ValueError(
            gettext("“%(text)s” is no number; write figures only, such as 1.5 or 12.")
            % {"text": text[:LONGEST]}
        )
    return number


def say_number(number: float) -> str:
    """A number with as many digits as it needs, at most seven."""
    return f"{number:.7g}"


def read_scaled(scale: float) -> Callable[[str], float]:
    """A reader of numbers written in a unit of `scale` SI units: 60 for minutes, 0.01 for percent."""
    return lambda text: read_number(text.strip().rstrip("%").strip()) * scale


def say_scaled(scale: float) -> Callable[[float], str]:
    """The writer that belongs to `read_scaled`."""
    return lambda value: say_number(value / scale)
