"""For how long each kind of thing is kept, as the owner types it."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.office.forms.figures import read_number
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.lasting import Kind

AS_COUNTED = "counted"
LABELS = {
    "letter_days": gettext_lazy("The words of letters are kept, days"),
    "archive_days": gettext_lazy("Archives made in the office are kept, days"),
    "photo_years": gettext_lazy("Photos without a cover are kept, years"),
    "contact_years": gettext_lazy("Customers who no longer come are kept, years"),
    "invoice_years": gettext_lazy("Invoices name customers who were erased, years"),
    "times_agreed": gettext_lazy("What is past its time goes by itself"),
}
"""What the settings are called where it is told who changed them; the rest has a page of its own."""


class TimesForm(forms.Form):
    """A time for each kind; and how much goes by it, as the page told before."""

    use_required_attribute = False

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0)

    def __init__(self, kinds: tuple[Kind, ...], times: dict[str, int], *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = times | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)
        self.kinds = kinds
        for kind in kinds:
            self.fields[kind.field] = _Whole(kind)

    def times(self) -> dict[str, int]:
        """For how long each kind is to be kept."""
        return {kind.field: self.cleaned_data[kind.field] for kind in self.kinds}


class _Whole(forms.CharField):
    """A whole number within the bounds of a kind."""

    def __init__(self, kind: Kind) -> None:
        self.low, self.high, self.unit = kind.fewest, kind.most, kind.unit
        super().__init__(
            label=kind.what,
            max_length=20,
            widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
            error_messages={"required": self._wanted()},
        )

    def clean(self, value: Any) -> int:
        text = super().clean(value)
        try:
            number = read_number(text)
        except ValueError as refused:
            raise ValidationError(str(refused)) from refused
        if not self.low <= number <= self.high or number != int(number):
            raise ValidationError(self._wanted())
        return int(number)

    def _wanted(self) -> str:
        return gettext("Write a whole number of %(unit)s from %(low)s to %(high)s.") % {
            "unit": self.unit,
            "low": self.low,
            "high": self.high,
        }
