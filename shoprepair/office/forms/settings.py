"""The shop's settings as the owner types them."""

from decimal import Decimal
from functools import cache
from typing import Any
from urllib.parse import urlsplit
from zoneinfo import available_timezones

from babel import Locale
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.mechanics.words import gettext_noop
from shoprepair.office.forms.figures import read_number
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import (
    Language,
    LengthUnit,
    Paper,
    PressureUnit,
    Shop,
    TagPaper,
    TemperatureUnit,
    WeekBegins,
)

LOWEST_TEST_FACTOR, HIGHEST_TEST_FACTOR = 0.5, 1.5
LONGEST_PROMISE_DAYS = 365
RATED = gettext_noop("× rated pressure")

LABELS = {
    "name": gettext_lazy("Name of the shop"),
    "address": gettext_lazy("Address"),
    "phone": gettext_lazy("Phone"),
    "email": gettext_lazy("E-mail"),
    "web_address": gettext_lazy("Web address for the QR codes"),
    "language": gettext_lazy("Language"),
    "time_zone": gettext_lazy("Time zone"),
    "currency": gettext_lazy("Currency"),
    "week_begins": gettext_lazy("The week begins on"),
    "paper": gettext_lazy("Paper"),
    "tag_paper": gettext_lazy("Paper of the bag tags"),
    "pressure_unit": gettext_lazy("Pressure"),
    "length_unit": gettext_lazy("Lengths"),
    "temperature_unit": gettext_lazy("Temperature"),
    "terms": gettext_lazy("Terms"),
    "bank_details": gettext_lazy("Bank details on invoices"),
    "usual_days": gettext_lazy("Usual days from check-in to the promised date"),
    "test_pressure_factor": gettext_lazy("Test pressure, as a share of the rated pressure"),
    "working_hours": gettext_lazy("Working hours"),
}


@cache
def time_zones() -> list[tuple[str, list[tuple[str, str]]]]:
    """Every time zone by continent, as the choices of a list."""
    regions: dict[str, list[tuple[str, str]]] = {"World": [("UTC", "UTC")]}
    for zone in sorted(available_timezones()):
        region, slash, place = zone.partition("/")
        if slash and region != "Etc":
            regions.setdefault(region, []).append((zone, place.replace("_", " ").replace("/", " · ")))
    return list(regions.items())


def _text(name: str, hint: str = "", *, most: int, required: bool = False, **attrs: Any) -> forms.CharField:
    return forms.CharField(
        label=LABELS[name],
        help_text=hint,
        required=required,
        max_length=most,
        widget=forms.TextInput(attrs=attrs),
        error_messages={"required": gettext_lazy("A shop needs a name: it stands on every paper.")},
    )


def _lines(name: str, hint: str, *, most: int, rows: int) -> forms.CharField:
    return forms.CharField(
        label=LABELS[name],
        help_text=hint,
        required=False,
        max_length=most,
        widget=forms.Textarea(attrs={"rows": rows}),
    )


def _choice(name: str, choices: type[Any], hint: str = "") -> forms.ChoiceField:
    return forms.ChoiceField(
        label=LABELS[name], choices=choices.choices, widget=forms.RadioSelect, help_text=hint
    )


class SettingsForm(forms.Form):
    """Every setting of the shop but its working hours."""

    use_required_attribute = False

    name = _text(
        "name",
        gettext_lazy("As it stands on tags, work orders and this program's bar."),
        most=120,
        required=True,
    )
    address = _lines("address", gettext_lazy("As on an envelope; printed on the papers."), most=500, rows=3)
    phone = _text(
        "phone",
        gettext_lazy("With the country code, so that a traveller can call."),
        most=40,
        autocomplete="tel",
    )
    email = forms.EmailField(
        label=LABELS["email"],
        required=False,
        help_text=gettext_lazy("Where customers write to."),
        error_messages={
            "invalid": gettext_lazy("That is no e-mail address; write it like workshop@example.org.")
        },
    )
    web_address = _text(
        "web_address",
        gettext_lazy(
            "Where a phone in the shop reaches this program, such as http://192.168.1.20:8000. "
            "It goes into the QR codes of tags and work orders."
        ),
        most=200,
        inputmode="url",
    )
    language = _choice(
        "language",
        Language,
        gettext_lazy("Of the papers, the letters, and everybody who has not chosen their own."),
    )
    time_zone = forms.ChoiceField(
        label=LABELS["time_zone"], help_text=gettext_lazy("Dates and times read as the clock on your wall.")
    )
    currency = _text(
        "currency",
        gettext_lazy("Its three letters, such as EUR, USD or NOK."),
        most=20,
        autocapitalize="characters",
        size=3,
    )
    week_begins = forms.TypedChoiceField(
        label=LABELS["week_begins"],
        choices=WeekBegins.choices,
        coerce=int,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("Days are listed from it. Numbered weeks run from Monday everywhere."),
    )
    paper = _choice("paper", Paper)
    tag_paper = _choice("tag_paper", TagPaper)
    pressure_unit = _choice("pressure_unit", PressureUnit)
    length_unit = _choice("length_unit", LengthUnit)
    temperature_unit = _choice("temperature_unit", TemperatureUnit)
    terms = _lines(
        "terms",
        gettext_lazy("What a customer agrees to at check-in. Each job keeps the words as they were agreed."),
        most=10_000,
        rows=8,
    )
    bank_details = _lines(
        "bank_details",
        gettext_lazy(
            "Line by line, as a customer types them: whose account, its number, the bank. "
            "Only on invoices with something left to pay."
        ),
        most=500,
        rows=4,
    )
    usual_days = _text(
        "usual_days",
        gettext_lazy("The date first promised is this many days off."),
        most=20,
        inputmode="numeric",
    )
    test_pressure_factor = _text(
        "test_pressure_factor",
        gettext_lazy(
            "1.00 tests at the rated pressure. From 0.50 to 1.50; above 1 asks more of the tube than its use."
        ),
        most=20,
        inputmode="decimal",
    )
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, shop: Shop, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {name: getattr(shop, name) for name in LABELS} | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["time_zone"].choices = time_zones()
        self.fields["usual_days"].unit = "days"  # type: ignore[attr-defined]
        self.fields["test_pressure_factor"].unit = RATED  # type: ignore[attr-defined]

    def clean_web_address(self) -> str:
        return read_web_address(self.cleaned_data["web_address"])

    def clean_currency(self) -> str:
        return read_currency(self.cleaned_data["currency"])

    def clean_usual_days(self) -> int:
        days = _number(self.cleaned_data["usual_days"])
        if days != int(days) or not 1 <= days <= LONGEST_PROMISE_DAYS:
            raise ValidationError(
                gettext("Write whole days, from 1 to %(LONGEST_PROMISE_DAYS)s.")
                % {"LONGEST_PROMISE_DAYS": LONGEST_PROMISE_DAYS}
            )
        return int(days)

    def clean_test_pressure_factor(self) -> Decimal:
        return read_test_factor(self.cleaned_data["test_pressure_factor"])

    def clean_seen(self) -> int:
        return self.cleaned_data["seen"] or 0


def read_web_address(text: str) -> str:
    """An address a phone can open, without its last slash. Raises ValidationError with a sentence."""
    example = "write it like http://192.168.1.20:8000 or https://shop.example.org."
    if not text:
        return ""
    try:
        parts = urlsplit(text)
        sound = parts.scheme in {"http", "https"} and parts.hostname and (parts.port or True)
    except ValueError:
        sound = False
    if not sound or any(letter.isspace() for letter in text):
        raise ValidationError(gettext("A phone cannot open that address; %(example)s") % {"example": example})
    if parts.username is not None or parts.query or parts.fragment:
        raise ValidationError(
            gettext("The address goes into a QR code: no password, ? or # in it; %(example)s")
            % {"example": example}
        )
    return text.rstrip("/")


def read_currency(text: str) -> str:
    """The three letters of a currency. Raises ValidationError with a sentence."""
    code = text.upper()
    if len(code) != 3 or not code.isascii() or not code.isalpha():
        raise ValidationError(gettext("A currency has three letters, such as EUR, USD or NOK."))
    if code not in Locale("en").currencies:
        raise ValidationError(
            gettext("%(code)s is no currency in use; write its three letters, such as EUR, USD or NOK.")
            % {"code": code}
        )
    return code


def read_test_factor(text: str) -> Decimal:
    """The factor with two places. Raises ValidationError with a sentence."""
    factor = _number(text)
    if not LOWEST_TEST_FACTOR <= factor <= HIGHEST_TEST_FACTOR:
        fault = gettext("says too little") if factor < 1 else gettext("can burst the tube")
        raise ValidationError(
            gettext(
                "A test at %(factor)s times the rated pressure %(fault)s; write a share from "
                "%(LOWEST_TEST_FACTOR)s to %(HIGHEST_TEST_FACTOR)s."
            )
            % {
                "factor": f"{factor:g}",
                "fault": fault,
                "LOWEST_TEST_FACTOR": f"{LOWEST_TEST_FACTOR:.2f}",
                "HIGHEST_TEST_FACTOR": f"{HIGHEST_TEST_FACTOR:.2f}",
            }
        )
    return Decimal(f"{factor:.2f}")


def _number(text: str) -> float:
    try:
        return read_number(text)
    except ValueError as refused:
        raise ValidationError(str(refused)) from refused
