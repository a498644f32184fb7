"""Fields that read amounts, shares, minutes and counts as people write them, with a comma or a point."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.counter.forms.typed import TypedField
from shoprepair.pricing import money

LONGEST_ENTRY = 40
MOST_MINUTES = Decimal(99_999)
TENTH, HUNDREDTH = Decimal("0.1"), Decimal("0.01")


def read_number(text: str) -> Decimal:
    """A plain number from nought; raises ValueError where it is none."""
    try:
        figure = Decimal(text.strip().replace(",", "."))
    except InvalidOperation:
        raise ValueError(gettext("“%(text)s” is not a number.") % {"text": text}) from None
    if not figure.is_finite():
        raise ValueError(gettext("“%(text)s” is not a number.") % {"text": text})
    return figure


class _Amount(TypedField[Decimal]):
    """A plain figure, typed on the keys for figures."""

    def __init__(self, **options: Any) -> None:
        mode = {"inputmode": "decimal", "autocomplete": "off"}
        super().__init__(max_length=LONGEST_ENTRY, widget=forms.TextInput(attrs=mode), **options)


class MoneyField(_Amount):
    """An amount of the shop's currency, from nought."""

    currency = "USD"
    """Set by the form for its shop."""

    def read(self, text: str) -> Decimal:
        return money.read(text, self.currency)


class PercentField(_Amount):
    """A share from 0 to 100 percent, to a hundredth."""

    def read(self, text: str) -> Decimal:
        share = read_number(text.strip().removesuffix("%"))
        if not 0 <= share <= 100:
            raise ValueError(
                gettext("A share lies between 0 and 100 %%; this says %(share)s %%.")
                % {"share": f"{share:f}"}
            )
        return share.quantize(HUNDREDTH)


class MinutesField(_Amount):
    """Bench time in minutes, from nought, to a tenth."""

    def read(self, text: str) -> Decimal:
        minutes = read_number(text.strip().removesuffix("min"))
        if not 0 <= minutes <= MOST_MINUTES:
            raise ValueError(gettext("Minutes are counted from nought to 99,999: 45 or 7.5."))
        return minutes.quantize(TENTH)


class QuantityField(_Amount):
    """How much of something, more than nought, to a thousandth."""

    def read(self, text: str) -> Decimal:
        quantity = read_number(text)
        if not 0 < quantity <= MOST_MINUTES:
            raise ValueError(gettext("Write how much, more than nought: 1 or 0.5."))
        return quantity.quantize(Decimal("0.001"))


def in_currency(form: forms.Form, currency: str) -> None:
    """Let every amount of a form read in this currency."""
    for field in form.fields.values():
        if isinstance(field, MoneyField):
            field.currency = currency
