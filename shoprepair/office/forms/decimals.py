"""Fields for exact figures: money, minutes, percent. A comma is read as a point, nothing is rounded away."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.pricing import money
from shoprepair.shop.languages import gettext_lazy

PLAIN = re.compile(r"-?\d{1,10}(?:\.\d{1,10})?")
UNIT_AFTER = re.compile(r"\s*(?:%|min|h|m|m²|pc)\s*$")
LONGEST = 20


def say_decimal(value: Decimal) -> str:
    """As many digits as it needs: 12, 7.5."""
    return f"{value.normalize():f}" if value else "0"


def read_decimal(text: str) -> Decimal:
    """A figure with a point or a comma, its unit behind it or not. Raises ValueError with a sentence."""
    plain = UNIT_AFTER.sub("", text.strip()).replace(",", ".").replace("−", "-")
    if not plain.isascii() or not PLAIN.fullmatch(plain):
        raise ValueError(
            gettext("“%(strip)s” is no number; write figures only, such as 1.5 or 12.")
            % {"strip": text.strip()[:LONGEST]}
        )
    return Decimal(plain)


class ExactField(forms.CharField):
    """A figure from `low` to `high` with at most `places` decimals; `unit` stands beside it."""

    def __init__(
        self,
        label: str,
        hint: str = "",
        *,
        unit: str,
        high: Decimal | int,
        low: Decimal | int = 0,
        places: int = 1,
        required: bool = True,
        empty: str = gettext_lazy("Write a figure."),
        says_empty: str = "",
    ) -> None:
        """`says_empty`: what it means that nothing is written, said in the box itself, on paper too."""
        self.unit, self.low, self.high, self.places = unit, low, high, places
        super().__init__(
            label=label,
            help_text=hint,
            required=required,
            widget=forms.TextInput(
                attrs={"inputmode": "decimal", "autocomplete": "off"}
                | ({"placeholder": says_empty} if says_empty else {})
            ),
            error_messages={"required": empty},
        )

    def prepare_value(self, value: Any) -> Any:
        return self.say(value) if isinstance(value, Decimal | int) else value

    def say(self, value: Decimal | int) -> str:
        return say_decimal(Decimal(value))

    def read(self, text: str) -> Decimal:
        return read_decimal(text)

    def clean(self, value: Any) -> Decimal | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            figure = self.read(text)
        except ValueError as refused:
            raise ValidationError(str(refused)) from refused
        self._check(figure)
        return figure

    def _check(self, figure: Decimal) -> None:
        if not self.low <= figure <= self.high:
            space = " " if self.unit else ""
            raise ValidationError(
                gettext(
                    "%(say)s%(space)s%(unit)s is out of range; write a figure between %(say_2)s "
                    "and %(say_3)s."
                )
                % {
                    "say": self.say(figure),
                    "space": space,
                    "unit": self.unit,
                    "say_2": self.say(self.low),
                    "say_3": self.say(self.high),
                }
            )
        if figure != round(figure, self.places):
            many = (
                gettext("no decimals")
                if not self.places
                else gettext("one decimal")
                if self.places == 1
                else ""
            )
            raise ValidationError(
                gettext("Write it with %(value)s at most.")
                % {"value": many or gettext("%(places)s decimals") % {"places": self.places}}
            )


class MoneyField(ExactField):
    """An amount of the shop's currency."""

    def __init__(self, label: str, hint: str = "", *, currency: str, required: bool = True) -> None:
        self.currency = currency
        super().__init__(
            label,
            hint,
            unit=currency,
            high=money.MOST,
            places=2,
            required=required,
            empty=gettext("Write an amount, such as 12.50."),
        )

    def say(self, value: Decimal | int) -> str:
        return f"{Decimal(value):.2f}"

    def read(self, text: str) -> Decimal:
        return money.read(text, self.currency)
