"""What is typed when gear is fetched: the money, and who takes it."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.counter.forms.amounts import MoneyField, in_currency
from shoprepair.pricing.answers import LONGEST_NAME
from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.work.models import Payment
from shoprepair.work.models.hand_back import KNOWN_BY
from shoprepair.work.payments import LONGEST_NOTE

PLAIN = {"dir": "auto", "autocomplete": "off"}
LONGEST_WORDS = 120


def _words(label: str, longest: int, **options: Any) -> forms.CharField:
    told = filled(
        gettext_lazy("Say it in %(longest)s letters or fewer; these are %%(show_value)s."), longest=longest
    )
    return forms.CharField(
        label=label,
        max_length=longest,
        widget=forms.TextInput(attrs=PLAIN),
        error_messages={"max_length": told},
        **options,
    )


class PaymentForm(forms.Form):
    """Money that comes in, in the currency of what is owed."""

    amount = MoneyField(
        label=gettext_lazy("Amount"), error_messages={"required": gettext_lazy("Write how much was paid.")}
    )
    method = forms.ChoiceField(
        label=gettext_lazy("How"),
        choices=Payment.Method.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Choose how it was paid: cash, card or transfer."),
            "invalid_choice": gettext_lazy("Choose how it was paid: cash, card or transfer."),
        },
    )
    note = _words(gettext_lazy("Note"), LONGEST_NOTE, required=False)

    def __init__(self, *args: Any, currency: str, **options: Any) -> None:
        super().__init__(*args, label_suffix="", **options)
        in_currency(self, currency)


class RefundForm(PaymentForm):
    """Money that goes back."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, prefix="back", **options)
        self.fields["note"].label = gettext("Why")


class GiveForm(forms.Form):
    """Who takes the gear, how they are known, and their signature. What is missing the hand-back says."""

    taker_name = forms.CharField(
        label=gettext_lazy("Name"),
        required=False,
        max_length=4 * LONGEST_NAME,
        widget=forms.TextInput(attrs=PLAIN),
    )
    known_by = forms.ChoiceField(
        label=gettext_lazy("Known by"),
        required=False,
        choices=[
            ("tag", gettext_lazy("The tag")),
            ("document", gettext_lazy("A document")),
            ("person", gettext_lazy("In person")),
        ],
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": gettext_lazy("Choose one of those shown.")},
    )
    known_words = _words(gettext_lazy("In words"), LONGEST_WORDS, required=False)
    signature = forms.CharField(required=False, strip=False, widget=forms.HiddenInput)
    typed_name = forms.CharField(
        label=gettext_lazy("Type the name instead of drawing"),
        help_text=gettext_lazy("By whoever takes it. It counts as their signature and is marked as typed."),
        required=False,
        max_length=4 * LONGEST_NAME,
        # Empty to see: by `:placeholder-shown` the box to draw in gives way to a name that is typed.
        widget=forms.TextInput(attrs={**PLAIN, "placeholder": " "}),
    )
    on_paper = forms.BooleanField(label=gettext_lazy("Signed on paper"), required=False)
    override_reason = forms.CharField(
        label=gettext_lazy("Why it is handed back as it is"),
        required=False,
        widget=forms.TextInput(attrs=PLAIN),
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, label_suffix="", **options)

    def known(self) -> str:
        """How the taker is known, as it is kept: 'a document: passport'; empty where nothing was chosen."""
        chosen = KNOWN_BY.get(self.cleaned_data["known_by"], "")[:]
        words = self.cleaned_data["known_words"]
        return ": ".join(filter(None, [chosen, words]))
