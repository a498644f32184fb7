"""What is typed into a quote: its lines, its terms, the customer's answer on the phone."""

from collections.abc import Sequence
from typing import Any

from django import forms

from shoprepair.counter.forms.amounts import (
    MinutesField,
    MoneyField,
    PercentField,
    QuantityField,
    in_currency,
)

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
        label="What the customer reads",
        max_length=200,
        widget=forms.Textarea(attrs={"rows": 2, **PLAIN}),
        error_messages={
            "required": "Write what it is: the customer reads this.",
            "max_length": "Say it in 200 letters or fewer; these are %(show_value)s.",
        },
    )
    detail = forms.CharField(
        label="How the amount comes about",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2, "dir": "auto"}),
        error_messages={"max_length": "Say it in 300 letters or fewer; these are %(show_value)s."},
    )
    amount = MoneyField(label="Amount", error_messages={"required": "Write the amount, 0 if it is free."})
    minutes = MinutesField(label="Minutes", required=False)
    choice = forms.ChoiceField(
        label="Stands", required=False, error_messages={"invalid_choice": "Choose one of those shown."}
    )
    optional = forms.BooleanField(label="The customer may leave it out", required=False)
    taken = forms.BooleanField(label="In the total", required=False)

    def __init__(self, *args: Any, choices: Sequence[tuple[str, str]], **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["choice"].choices = [("", "for itself"), *choices]  # type: ignore[attr-defined]
        if not self.is_bound:
            # Whoever opens a line is about to write in it.
            self.fields["text"].widget.attrs["autofocus"] = True


class ExtraForm(QuoteForm):
    """A line in the shop's own words."""

    text = forms.CharField(
        label="What it is",
        max_length=200,
        widget=forms.TextInput(attrs=PLAIN),
        error_messages={
            "required": "Write what it is: the customer reads this.",
            "max_length": "Say it in 200 letters or fewer; these are %(show_value)s.",
        },
    )
    amount = MoneyField(label="Amount", error_messages={"required": "Write the amount, 0 if it is free."})
    minutes = MinutesField(label="Minutes", required=False)
    optional = forms.BooleanField(label="The customer may leave it out", required=False)


class FromCatalogueForm(QuoteForm):
    """A line priced by the catalogue: an operation or a material, and how much of it."""

    item = forms.ChoiceField(
        label="From the catalogue",
        error_messages={"required": "Choose what to add.", "invalid_choice": "Choose one of those shown."},
    )
    quantity = QuantityField(label="How much", required=False, help_text="Pieces, metres or square metres.")
    optional = forms.BooleanField(label="The customer may leave it out", required=False)

    def __init__(self, *args: Any, items: Sequence[tuple[str, Any]] = (), **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["item"].choices = [("", "Choose"), *items]  # type: ignore[attr-defined]


class TermsForm(QuoteForm):
    """What holds for the whole quote."""

    valid_until = forms.DateField(
        label="Valid until",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Write until when the customer may answer.",
            "invalid": "Write the day as 2026-05-31.",
        },
    )
    discount_percent = PercentField(label="Discount, %", required=False)
    deposit_percent = PercentField(label="Deposit, %", required=False)
    note = forms.CharField(
        label="Note to the customer",
        max_length=LONGEST_NOTE,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4, "dir": "auto"}),
        error_messages={
            "max_length": f"Say it in {LONGEST_NOTE} letters or fewer; these are %(show_value)s."
        },
    )
    warranty = forms.BooleanField(label="Ours to mend: the customer pays nothing", required=False)


class PriceNewForm(QuoteForm):
    """What the inflatable cost when it was new."""

    new_price = MoneyField(label="Price new", required=False)
    bought_year = forms.IntegerField(
        label="Year bought",
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={"invalid": "Write the year with four figures: 2024."},
    )
