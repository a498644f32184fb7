"""What is typed when gear is fetched: the money, and who takes it."""

from typing import Any

from django import forms

from shoprepair.counter.forms.amounts import MoneyField, in_currency
from shoprepair.pricing.answers import LONGEST_NAME
from shoprepair.work.models import Payment
from shoprepair.work.payments import LONGEST_NOTE

PLAIN = {"dir": "auto", "autocomplete": "off"}
KNOWN_BY = {"tag": "the tag", "document": "a document", "person": "in person"}
LONGEST_WORDS = 120


def _words(label: str, longest: int, **options: Any) -> forms.CharField:
    told = f"Say it in {longest} letters or fewer; these are %(show_value)s."
    return forms.CharField(
        label=label,
        max_length=longest,
        widget=forms.TextInput(attrs=PLAIN),
        error_messages={"max_length": told},
        **options,
    )


class PaymentForm(forms.Form):
    """Money that comes in, in the currency of what is owed."""

    amount = MoneyField(label="Amount", error_messages={"required": "Write how much was paid."})
    method = forms.ChoiceField(
        label="How",
        choices=Payment.Method.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose how it was paid: cash, card or transfer.",
            "invalid_choice": "Choose how it was paid: cash, card or transfer.",
        },
    )
    note = _words("Note", LONGEST_NOTE, required=False)

    def __init__(self, *args: Any, currency: str, **options: Any) -> None:
        super().__init__(*args, label_suffix="", **options)
        in_currency(self, currency)


class RefundForm(PaymentForm):
    """Money that goes back."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, prefix="back", **options)
        self.fields["note"].label = "Why"


class GiveForm(forms.Form):
    """Who takes the gear, how they are known, and their signature. What is missing the hand-back says."""

    taker_name = forms.CharField(
        label="Name",
        required=False,
        max_length=4 * LONGEST_NAME,
        widget=forms.TextInput(attrs=PLAIN),
    )
    known_by = forms.ChoiceField(
        label="Known by",
        required=False,
        choices=[("tag", "The tag"), ("document", "A document"), ("person", "In person")],
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Choose one of those shown."},
    )
    known_words = _words("In words", LONGEST_WORDS, required=False)
    signature = forms.CharField(required=False, strip=False, widget=forms.HiddenInput)
    on_paper = forms.BooleanField(label="Signed on paper", required=False)
    override_reason = forms.CharField(
        label="Why it is handed back as it is",
        required=False,
        widget=forms.TextInput(attrs=PLAIN),
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, label_suffix="", **options)

    def known(self) -> str:
        """How the taker is known, in one phrase: 'a document: passport'; empty where nothing was chosen."""
        chosen = KNOWN_BY.get(self.cleaned_data["known_by"], "")
        words = self.cleaned_data["known_words"]
        return ": ".join(filter(None, [chosen, words]))
