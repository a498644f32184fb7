"""Who brings it, and what they bring."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.counter.forms.fields import LengthField, PressureField, in_units, refuse_too
from shoprepair.gear import library
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs import checkin
from shoprepair.jobs.models import Customer
from shoprepair.mechanics.description import Kind
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units

MEASURED_HERE = "measured"


class CustomerForm(forms.Form):
    """Who it is, and how to reach them."""

    name = forms.CharField(
        max_length=120, error_messages={"required": gettext_lazy("Write the customer's name.")}
    )
    phone = forms.CharField(max_length=40, required=False)
    email = forms.CharField(label=gettext_lazy("E-mail"), max_length=254, required=False)
    note = forms.CharField(
        label=gettext_lazy("Note"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, label_suffix="", **options)

    def clean(self) -> dict[str, Any]:
        """All that is wrong is said at once: where the name is missing, and before anybody is asked about
        somebody much like them, too.
        """
        said = self.cleaned_data
        typed = Customer(**{name: said.get(name, "") for name in CustomerForm.base_fields})
        refuse_too(self, checkin.check_customer, typed)
        return said


class GearForm(forms.Form):
    """A piece of gear: a pattern of the library, or the figures from which one is made."""

    pattern = forms.CharField(
        max_length=20, error_messages={"required": gettext_lazy("Choose the model, or measure it here.")}
    )
    kind = forms.ChoiceField(choices=[(k.value, k.value.capitalize()) for k in Kind], required=False)
    support = forms.ChoiceField(label=gettext_lazy("How it is held"), choices=Pattern.Support, required=False)
    span = LengthField(label=gettext_lazy("Span, tip to tip"), large=True, required=False)
    diameter_centre = LengthField(label=gettext_lazy("Tube across, at the centre"), required=False)
    diameter_tip = LengthField(label=gettext_lazy("Tube across, at the tip"), required=False)
    pressure = PressureField(label=gettext_lazy("Rated pressure"), required=False)
    struts = forms.IntegerField(
        label=gettext_lazy("Struts"),
        required=False,
        error_messages={"invalid": gettext_lazy("Count them: 3.")},
    )
    pumping = forms.ChoiceField(label=gettext_lazy("Pumping"), choices=Pattern.Pumping, required=False)
    name = forms.CharField(label=gettext_lazy("What it says on it"), max_length=80, required=False)
    serial = forms.CharField(max_length=40, required=False)
    colour = forms.CharField(max_length=40, required=False)
    bought_year = forms.IntegerField(
        label=gettext_lazy("Year"),
        required=False,
        error_messages={"invalid": gettext_lazy("Write the year with four figures: 2024.")},
    )
    condition = forms.ChoiceField(
        label=gettext_lazy("Cloth"), choices=Inflatable._meta.get_field("condition").choices, required=False
    )

    MEASURES = ("kind", "support", "span", "diameter_centre", "diameter_tip", "pressure", "struts", "pumping")
    """What must be said of gear measured here."""

    def __init__(self, *args: Any, units: Units, **options: Any) -> None:
        super().__init__(*args, label_suffix="", **options)
        in_units(self, units)

    @property
    def is_measured(self) -> bool:
        return bool(self.data.get("pattern") == MEASURED_HERE)

    def clean_pattern(self) -> Pattern | None:
        """The pattern of the library; None where it is to be measured."""
        chosen = self.cleaned_data["pattern"]
        if chosen == MEASURED_HERE:
            return None
        pattern = Pattern.objects.filter(pk=chosen, everyday="").first() if chosen.isdecimal() else None
        if pattern is None:
            raise forms.ValidationError(gettext("That model is not in the library any more. Choose another."))
        return pattern

    def clean(self) -> dict[str, Any]:
        if self.is_measured:
            for name in self.MEASURES:
                if name not in self.errors and self.cleaned_data.get(name) in (None, ""):
                    self.add_error(name, gettext("This is needed to draw it and to judge it."))
        if self.errors:
            said = self.cleaned_data
            typed = Inflatable(serial=said.get("serial", ""), bought_year=said.get("bought_year"))
            refuse_too(self, checkin.check_inflatable, typed)
        return self.cleaned_data

    def facts(self) -> dict[str, Any]:
        """What is this one's own, whatever its pattern."""
        facts = {name: self.cleaned_data[name] for name in ("serial", "colour", "bought_year")}
        return facts | {"condition": self.cleaned_data["condition"] or "sound"}

    def make_pattern(self) -> Pattern:
        """The chosen pattern, or a new one from the figures. Raises ValueError where they clash."""
        said = self.cleaned_data
        if said["pattern"] is not None:
            return said["pattern"]
        return library.measured_here(
            kind=Kind(said["kind"]),
            support=said["support"],
            span_m=said["span"].value_si,
            diameter_centre_m=said["diameter_centre"].value_si,
            diameter_tip_m=said["diameter_tip"].value_si,
            rated_pressure_pa=said["pressure"].value_si,
            rated_pressure_typed=said["pressure"].text,
            struts=said["struts"],
            pumping=said["pumping"],
            name=said["name"],
        )
