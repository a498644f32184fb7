"""What is asked while a shop is set up: as little as will do, each with what is usual already in it."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.gear.models import Pattern
from shoprepair.gear.six_figures import SixFigures
from shoprepair.office.forms.decimals import ExactField, MoneyField
from shoprepair.office.forms.settings import SettingsForm
from shoprepair.pricing.models import PriceRules
from shoprepair.pricing.starting import Proposed
from shoprepair.shop import countries
from shoprepair.shop.countries import Usual
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Shop, TagPaper
from shoprepair.shop.settings import current
from shoprepair.shop.units import Typed, Units, read_length, read_pressure, say_length, say_pressure

_OWN = ("phone", "email", "address")
_PLACE = (
    *_OWN,
    "currency",
    "time_zone",
    "paper",
    "pressure_unit",
    "length_unit",
    "temperature_unit",
    "week_begins",
    "seen",
)


class PlaceForm(SettingsForm):
    """Where the shop is: those of its settings that a country fills, and how it is reached."""

    name = None  # type: ignore[assignment]

    def __init__(self, shop: Shop, usual: Usual | None, *args: Any, **kwargs: Any) -> None:
        super().__init__(shop, *args, **kwargs)
        for name in set(self.fields) - set(_PLACE):
            del self.fields[name]
        self.order_fields(_PLACE)
        if usual:
            self.initial |= usual._asdict()
        self.fields["address"].widget.attrs["rows"] = 2

    @staticmethod
    def typed(sent: Any) -> dict[str, str]:
        """What was typed of it that no country fills."""
        return {name: sent[name] for name in _OWN if name in sent}

    def settings(self) -> dict[str, Any]:
        """The fields of the shop as they are stored."""
        return {name: self.cleaned_data[name] for name in _PLACE if name != "seen"}


class RateForm(forms.Form):
    """Four figures that price the whole catalogue: the shop's own, or what is `proposed` to a new one."""

    use_required_attribute = False

    tax_name = forms.CharField(
        label=gettext_lazy("Name of the tax"),
        max_length=40,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Write what the tax is called, such as VAT.")},
    )
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self, stored: PriceRules, proposed: Proposed | None, currency: str, *args: Any, **kwargs: Any
    ) -> None:
        usual_tax = countries.tax(current().time_zone)
        kwargs["initial"] = {
            "hourly_rate": proposed.hourly_rate if proposed else stored.hourly_rate,
            "tax_name": gettext("Tax") if proposed else stored.tax_name,
            "tax_percent": stored.tax_percent if not proposed or usual_tax is None else usual_tax,
            "deposit_percent": stored.deposit_percent,
            "version": stored.version,
        }
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["hourly_rate"] = MoneyField(
            gettext("One hour at the bench"), gettext("Without tax."), currency=currency
        )
        self.fields["tax_percent"] = ExactField(
            gettext("Tax"),
            gettext("Check that it is yours; nothing to pay: 0."),
            unit="%",
            high=100,
            places=2,
        )
        self.fields["deposit_percent"] = ExactField(
            gettext("Deposit"), gettext("With the go-ahead, of larger quotes."), unit="%", high=100, places=2
        )
        self.order_fields(("hourly_rate", "tax_percent", "tax_name", "deposit_percent", "version"))

    def clean_version(self) -> int:
        return self.cleaned_data["version"] or 0

    def figures(self) -> dict[str, Decimal]:
        """The rules' fields as they are stored."""
        names = ("hourly_rate", "tax_name", "tax_percent", "deposit_percent")
        return {name: self.cleaned_data[name] for name in names}


LIBRARY, OURS = "library", "ours"
USUAL_M = {"span": 3.0, "diameter_centre": 0.135, "diameter_tip": 0.06}
USUAL_PA = 50_000
USUAL_STRUTS = 3


class FirstPatternForm(forms.Form):
    """The library as it is, or one more from six figures."""

    use_required_attribute = False

    choice = forms.ChoiceField(
        label=gettext_lazy("To begin with"),
        choices=[
            (LIBRARY, gettext_lazy("The library is enough")),
            (OURS, gettext_lazy("Draw the one that comes in most")),
        ],
        widget=forms.RadioSelect,
        initial=LIBRARY,
    )
    name = forms.CharField(
        label=gettext_lazy("What it says on it"),
        max_length=80,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    support = forms.ChoiceField(
        label=gettext_lazy("How it is held"),
        choices=Pattern.Support.choices,
        widget=forms.RadioSelect,
        required=False,
        initial=Pattern.Support.HANDLES,
    )
    span = forms.CharField(label=gettext_lazy("Span, tip to tip"), required=False, max_length=80)
    diameter_centre = forms.CharField(
        label=gettext_lazy("Tube across, at the centre"),
        help_text=gettext_lazy("Flat width × 0.64."),
        required=False,
        max_length=80,
    )
    diameter_tip = forms.CharField(
        label=gettext_lazy("Tube across, at the tip"),
        help_text=gettext_lazy("Flat width × 0.64."),
        required=False,
        max_length=80,
    )
    pressure = forms.CharField(
        label=gettext_lazy("Rated pressure"),
        help_text=gettext_lazy("As printed beside the valve."),
        required=False,
        max_length=80,
    )
    struts = forms.IntegerField(
        label=gettext_lazy("Struts"),
        help_text=gettext_lazy("With the one in the middle."),
        required=False,
        initial=USUAL_STRUTS,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={"invalid": gettext_lazy("Count them: 3.")},
    )
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)

    def __init__(self, units: Units, *args: Any, **kwargs: Any) -> None:
        self.units = units
        usual = {name: say_length(metres, units) for name, metres in USUAL_M.items()}
        kwargs["initial"] = usual | {"pressure": say_pressure(USUAL_PA, units)} | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)

    @property
    def wants_own(self) -> bool:
        return bool(self.cleaned_data.get("choice") == OURS)

    def clean(self) -> dict[str, Any]:
        if self.cleaned_data.get("choice") != OURS:
            return self.cleaned_data
        for name in ("span", "diameter_centre", "diameter_tip", "pressure"):
            self._measure(name)
        for name in ("support", "struts"):
            if name not in self.errors and self.cleaned_data.get(name) in (None, ""):
                self.add_error(name, gettext("This is needed to draw it and to judge it."))
        return self.cleaned_data

    def _measure(self, name: str) -> None:
        text = self.cleaned_data.get(name, "")
        if not text:
            self.add_error(name, gettext("This is needed to draw it and to judge it."))
            return
        try:
            self.cleaned_data[name] = self._read(name, text)
        except ValueError as refused:
            self.add_error(name, str(refused))

    def _read(self, name: str, text: str) -> Typed:
        if name == "pressure":
            return read_pressure(text, self.units)
        return read_length(text, self.units, large=name == "span")

    def figures(self) -> SixFigures:
        said = self.cleaned_data
        return SixFigures(
            support=said["support"],
            span_m=said["span"].value_si,
            diameter_centre_m=said["diameter_centre"].value_si,
            diameter_tip_m=said["diameter_tip"].value_si,
            rated_pressure_pa=said["pressure"].value_si,
            struts=said["struts"],
        )


class TagForm(forms.Form):
    """What the bag tags are printed on."""

    use_required_attribute = False

    tag_paper = forms.ChoiceField(
        label=gettext_lazy("Paper of the bag tags"), choices=TagPaper.choices, widget=forms.RadioSelect
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
