"""What is typed into a quote: its lines, its terms, the customer's answer on the phone."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.counter.forms.amounts import (
    MinutesField,
    MoneyField,
    PercentField,
    QuantityField,
    in_currency,
)
from shoprepair.shop.languages import filled, gettext_lazy

LONGEST_NOTE = 2000
PLAIN = {"dir": "auto", "autocomplete": "off"}


class QuoteForm(forms.Form):
    """A form about a quote, in the quote's own currency."""

    def __init__(self, *args: Any, currency: str = "USD", **options: Any) -> None:
        super().__init__(*args, label_suffix="", **options)
        in_currency(self, currency)


class LineForm(QuoteForm):
    """One line: what, for how long, for how much, and whether the customer may leave it out."""

    text = forms.CharField(
        label=gettext_lazy("What the customer reads"),
        max_length=200,
        widget=forms.Textarea(attrs={"rows": 2, **PLAIN}),
        error_messages={
            "required": gettext_lazy("Write what it is: the customer reads this."),
            "max_length": gettext_lazy("Say it in 200 letters or fewer; these are %(show_value)s."),
        },
    )
    detail = forms.CharField(
        label=gettext_lazy("How the amount comes about"),
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2, "dir": "auto"}),
        error_messages={
            "max_length": gettext_lazy("Say it in 300 letters or fewer; these are %(show_value)s.")
        },
    )
    amount = MoneyField(
        label=gettext_lazy("Amount"),
        error_messages={"required": gettext_lazy("Write the amount, 0 if it is free.")},
    )
    minutes = MinutesField(label=gettext_lazy("Minutes"), required=False)
    choice = forms.ChoiceField(
        label=gettext_lazy("Stands"),
        required=False,
        error_messages={"invalid_choice": gettext_lazy("Choose one of those shown.")},
    )
    optional = forms.BooleanField(label=gettext_lazy("The customer may leave it out"), required=False)
    taken = forms.BooleanField(label=gettext_lazy("In the total"), required=False)

    def __init__(self, *args: Any, choices: Sequence[tuple[str, str]], **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["choice"].choices = [("", gettext("for itself")), *choices]  # type: ignore[attr-defined]
        if not self.is_bound:
            # Whoever opens a line is about to write in it.
            self.fields["text"].widget.attrs["autofocus"] = True


class ExtraForm(QuoteForm):
    """A line in the shop's own words."""

    text = forms.CharField(
        label=gettext_lazy("What it is"),
        max_length=200,
        widget=forms.TextInput(attrs=PLAIN),
        error_messages={
            "required": gettext_lazy("Write what it is: the customer reads this."),
            "max_length": gettext_lazy("Say it in 200 letters or fewer; these are %(show_value)s."),
        },
    )
    amount = MoneyField(
        label=gettext_lazy("Amount"),
        error_messages={"required": gettext_lazy("Write the amount, 0 if it is free.")},
    )
    minutes = MinutesField(label=gettext_lazy("Minutes"), required=False)
    optional = forms.BooleanField(label=gettext_lazy("The customer may leave it out"), required=False)


class FromCatalogueForm(QuoteForm):
    """A line priced by the catalogue: an operation or a material, and how much of it."""

    item = forms.ChoiceField(
        label=gettext_lazy("From the catalogue"),
        error_messages={
            "required": gettext_lazy("Choose what to add."),
            "invalid_choice": gettext_lazy("Choose one of those shown."),
        },
    )
    quantity = QuantityField(
        label=gettext_lazy("How much"),
        required=False,
        help_text=gettext_lazy("Pieces, metres or square metres."),
    )
    optional = forms.BooleanField(label=gettext_lazy("The customer may leave it out"), required=False)

    def __init__(self, *args: Any, items: Sequence[tuple[str, Any]] = (), **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["item"].choices = [("", gettext("Choose")), *items]  # type: ignore[attr-defined]


class TermsForm(QuoteForm):
    """What holds for the whole quote."""

    valid_until = forms.DateField(
        label=gettext_lazy("Valid until"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": gettext_lazy("Write until when the customer may answer."),
            "invalid": gettext_lazy("Write the day as 2026-05-31."),
        },
    )
    discount_percent = PercentField(label=gettext_lazy("Discount, %"), required=False)
    deposit_percent = PercentField(label=gettext_lazy("Deposit, %"), required=False)
    note = forms.CharField(
        label=gettext_lazy("Note to the customer"),
        max_length=LONGEST_NOTE,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4, "dir": "auto"}),
        error_messages={
            "max_length": filled(
                gettext_lazy("Say it in %(longest_note)s letters or fewer; these are %%(show_value)s."),
                longest_note=LONGEST_NOTE,
            )
        },
    )
    warranty = forms.BooleanField(
        label=gettext_lazy("Ours to mend: the customer pays nothing"), required=False
    )


class PriceNewForm(QuoteForm):
    """What the inflatable cost when it was new."""

    new_price = MoneyField(label=gettext_lazy("Price new"), required=False)
    bought_year = forms.IntegerField(
        label=gettext_lazy("Year bought"),
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={"invalid": gettext_lazy("Write the year with four figures: 2024.")},
    )
