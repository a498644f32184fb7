"""A cloth of the library as the owner types it."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.gear.changes import RANGES
from shoprepair.gear.models import Cloth
from shoprepair.office.forms.figures import FigureField, read_scaled, say_scaled
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units
from shoprepair.shop.units.reading import METRES

KILO = 1000.0
MEASURED = [("measured", gettext_lazy("Measured or published")), ("assumed", gettext_lazy("Assumed"))]
LABELS = {
    "name": gettext_lazy("Name"),
    "use": gettext_lazy("Used for"),
    "weight_g_per_m2": gettext_lazy("Weight"),
    "strength_warp_n_per_m": gettext_lazy("Strength along the warp"),
    "strength_weft_n_per_m": gettext_lazy("Strength along the weft"),
    "yarns_warp_per_m": gettext_lazy("Warp yarns"),
    "yarns_weft_per_m": gettext_lazy("Weft yarns"),
    "stiffness_n_per_m": gettext_lazy("Stiffness"),
    "measured": gettext_lazy("These strengths are"),
    "source": gettext_lazy("Source"),
}
HINTS = {
    "strength_warp_n_per_m": gettext_lazy(
        "Strip strength. The warp runs around a tube and along the chord of a canopy."
    ),
    "strength_weft_n_per_m": gettext_lazy(
        "Strip strength. The weft runs along a tube and along the span of a canopy."
    ),
    "yarns_warp_per_m": gettext_lazy(
        "Counted over a length; 0 for a film. A cut is judged by the yarns it breaks."
    ),
    "source": gettext_lazy("Who measured or published it and how, or what the assumption rests on."),
}
FIGURES = tuple(name for name in LABELS if name in RANGES)


def scale(name: str, units: Units) -> tuple[float, str]:
    """In how many SI units a person writes this figure, and what the unit is called."""
    if name.startswith("yarns"):
        return (1 / METRES["in"], gettext("per inch")) if units.inches else (100.0, gettext("per cm"))
    return (1.0, "g/m²") if name == "weight_g_per_m2" else (KILO, "kN/m")


class ClothForm(forms.Form):
    """A cloth, new or known."""

    use_required_attribute = False

    name = forms.CharField(max_length=80, error_messages={"required": gettext_lazy("Give the cloth a name.")})
    use = forms.ChoiceField(choices=Cloth.Use.choices, widget=forms.RadioSelect)
    measured = forms.ChoiceField(choices=MEASURED, widget=forms.RadioSelect)
    source = forms.CharField(max_length=200, required=False, widget=forms.Textarea(attrs={"rows": 3}))
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, units: Units, cloth: Cloth | None, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = _initial(cloth) | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)
        for name in FIGURES:
            self.fields[name] = _figure(name, units, cloth)
        for name, label in LABELS.items():
            self.fields[name].label = label
            self.fields[name].help_text = HINTS.get(name, "")

    def clean_seen(self) -> int:
        return self.cleaned_data["seen"] or 0

    def cloth(self) -> dict[str, Any]:
        """The cloth's fields as they are stored."""
        fields = {name: self.cleaned_data[name] for name in LABELS}
        return fields | {"measured": fields["measured"] == "measured"}


def _initial(cloth: Cloth | None) -> dict[str, Any]:
    if cloth is None:
        return {"use": Cloth.Use.CASING, "measured": "assumed"}
    measured = "measured" if cloth.measured else "assumed"
    return {"name": cloth.name, "use": cloth.use, "measured": measured, "source": cloth.source}


def _figure(name: str, units: Units, cloth: Cloth | None) -> FigureField:
    per, _ = scale(name, units)
    low, high = RANGES[name]
    return FigureField(
        stored=getattr(cloth, name) if cloth else None,
        say=say_scaled(per),
        read=read_scaled(per),
        low=low,
        high=high,
    )
