"""The figures of a pattern as the owner types them, and which of them are assumed."""

from collections.abc import Callable
from typing import Any, NamedTuple

from django import forms
from django.utils.translation import gettext

from shoprepair.gear.changes import RANGES, TubeChange
from shoprepair.gear.models import Cloth, Pattern, Tube
from shoprepair.office.forms.decimals import MoneyField
from shoprepair.office.forms.figures import FigureField, read_number, read_scaled, say_number, say_scaled
from shoprepair.office.forms.shares import PointsField, StretchesField
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.settings import current
from shoprepair.shop.units import (
    Typed,
    Units,
    read_length,
    read_pressure,
    say_length,
    say_pressure,
    say_typed,
)
from shoprepair.shop.units.reading import LEAST_PRESSURE_PA, MOST_PRESSURE_PA

LABELS = {
    "name": gettext_lazy("Name"),
    "area_m2": gettext_lazy("Area"),
    "span_m": gettext_lazy("Span"),
    "chord_centre_m": gettext_lazy("Chord at the centre"),
    "chord_tip_m": gettext_lazy("Chord at the tip"),
    "sweep_m": gettext_lazy("Sweep"),
    "rated_pressure_pa": gettext_lazy("Rated pressure"),
    "rated_pressure_typed": gettext_lazy("Rated pressure as written"),
    "seam_efficiency": gettext_lazy("Seam efficiency"),
    "new_price": gettext_lazy("Price new"),
    "bridle_stations": gettext_lazy("Bridle points"),
    "casing": gettext_lazy("Casing cloth"),
    "canopy": gettext_lazy("Canopy cloth"),
    "window": gettext_lazy("Window film"),
    "assumed": gettext_lazy("Assumed figures"),
    "leading_edge": gettext_lazy("Leading edge"),
    "struts": gettext_lazy("Struts"),
    "diameter_root_m": gettext_lazy("diameter at its beginning"),
    "diameter_tip_m": gettext_lazy("diameter at its end"),
    "doublings": gettext_lazy("doubled stretches"),
}
HINTS = {
    "area_m2": gettext_lazy("As its maker states it."),
    "span_m": gettext_lazy("Projected, tip to tip."),
    "chord_centre_m": gettext_lazy("Centreline to trailing edge."),
    "chord_tip_m": gettext_lazy("The same, at the tip."),
    "sweep_m": gettext_lazy("How far back the tip lies."),
    "rated_pressure_pa": gettext_lazy("As printed beside the valve; it stays as you write it."),
    "seam_efficiency": gettext_lazy("What a casing seam holds, as a share of the cloth."),
    "new_price": gettext_lazy("What a repair is held against. Nothing: not known."),
    "bridle_stations": gettext_lazy("Percent of the half span from the centre, outwards."),
}
ASSUMABLE = (
    "area_m2",
    "span_m",
    "chord_centre_m",
    "chord_tip_m",
    "sweep_m",
    "rated_pressure_pa",
    "seam_efficiency",
    "bridle_stations",
    "casing",
    "canopy",
    "leading_edge",
    "struts",
)
LENGTHS = ("span_m", "chord_centre_m", "chord_tip_m", "sweep_m")


class PressureField(FigureField):
    """A pressure that keeps how it was written."""

    def __init__(self, pattern: Pattern, units: Units, **kwargs: Any) -> None:
        self.typed = Typed(pattern.rated_pressure_pa, pattern.rated_pressure_typed)
        super().__init__(
            stored=self.typed.value_si,
            initial=say_typed(self.typed.value_si, self.typed.text, units),
            say=lambda pascal: say_pressure(pascal, units),
            read=lambda text: read_pressure(text, units).value_si,
            low=LEAST_PRESSURE_PA,
            high=MOST_PRESSURE_PA,
            **kwargs,
        )
        self.units = units

    def clean(self, value: Any) -> Any:
        super().clean(value)
        text = value.strip()
        return self.typed if text == self.initial else read_pressure(text, self.units)


class TubeFields(NamedTuple):
    """The fields of one tube, under its name."""

    name: str
    root: Any
    tip: Any
    doublings: Any


class PatternForm(forms.Form):
    """Every figure of a pattern that can be corrected without cutting it anew."""

    use_required_attribute = False

    name = forms.CharField(
        max_length=80, error_messages={"required": gettext_lazy("Give the pattern a name.")}
    )
    casing = forms.ModelChoiceField(Cloth.objects.filter(use=Cloth.Use.CASING), empty_label=None)
    canopy = forms.ModelChoiceField(Cloth.objects.filter(use=Cloth.Use.CANOPY), empty_label=None)
    window = forms.ModelChoiceField(
        Cloth.objects.filter(use=Cloth.Use.WINDOW), required=False, empty_label=gettext_lazy("No window")
    )
    assumed = forms.MultipleChoiceField(
        choices=[(name, LABELS[name]) for name in ASSUMABLE],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, pattern: Pattern, units: Units, *args: Any, **kwargs: Any) -> None:
        self.pattern, self.tubes = pattern, list(pattern.tubes.all())
        stored = ("name", "casing", "canopy", "window", "assumed", "version", "new_price")
        kwargs["initial"] = {name: getattr(pattern, name) for name in stored}
        super().__init__(*args, label_suffix="", **kwargs)
        self._add_figures(units)
        for tube in self.tubes:
            self._add_tube(tube, units)
        for name in LABELS.keys() & self.fields.keys():
            self.fields[name].label = LABELS[name]
            self.fields[name].help_text = HINTS.get(name, "")

    def _add_figures(self, units: Units) -> None:
        for name in LENGTHS:
            self.fields[name] = self._length(name, getattr(self.pattern, name), units, large=True)
        self.fields["area_m2"] = self._number("area_m2", say_number, read_number, "m²")
        share = (say_scaled(0.01), read_scaled(0.01), "%")
        self.fields["seam_efficiency"] = self._number("seam_efficiency", *share)
        self.fields["rated_pressure_pa"] = PressureField(self.pattern, units)
        self.fields["new_price"] = MoneyField("", currency=current().currency, required=False)
        if self.pattern.support == Pattern.Support.BRIDLED:
            self.fields["bridle_stations"] = PointsField(self.pattern.bridle_stations)

    def _add_tube(self, tube: Tube, units: Units) -> None:
        for name in ("diameter_root_m", "diameter_tip_m"):
            field = self._length(name, getattr(tube, name), units)
            field.label = gettext("At the centre") if name == "diameter_root_m" else gettext("At the tip")
            if tube.kind == Tube.Kind.STRUT:
                field.label = (
                    gettext("At the leading edge")
                    if name == "diameter_root_m"
                    else gettext("At the trailing edge")
                )
            self.fields[f"{name}_{tube.pk}"] = field
        self.fields[f"doublings_{tube.pk}"] = StretchesField(tube.doublings, label=gettext("Doubled"))

    def _length(self, name: str, stored: float, units: Units, *, large: bool = False) -> FigureField:
        low, high = RANGES[name]
        return FigureField(
            stored=stored,
            say=lambda metres: say_length(metres, units),
            read=lambda text: read_length(text, units, large=large).value_si,
            low=low,
            high=high,
        )

    def _number(
        self, name: str, say: Callable[[float], str], read: Callable[[str], float], unit: str
    ) -> FigureField:
        low, high = RANGES[name]
        stored = getattr(self.pattern, name)
        return FigureField(stored=stored, say=say, read=read, low=low, high=high, unit=unit)

    def clean_assumed(self) -> list[str]:
        """What is ticked, and what stood there that no box of this form stands for."""
        others = [name for name in self.pattern.assumed if name not in ASSUMABLE]
        return [name for name in ASSUMABLE if name in self.cleaned_data["assumed"]] + others

    def tube_fields(self) -> list[TubeFields]:
        return [
            TubeFields(tube_name(tube), *(self[f"{name}_{tube.pk}"] for name in TubeChange.__slots__[1:]))
            for tube in self.tubes
        ]

    def figures(self) -> dict[str, Any]:
        """The pattern's own fields as they are stored."""
        data = self.cleaned_data
        names = [*LENGTHS, "name", "area_m2", "seam_efficiency", "casing", "canopy", "window", "assumed"]
        names.append("new_price")
        fields = {name: data[name] for name in names}
        if "bridle_stations" in data:
            fields["bridle_stations"] = data["bridle_stations"]
        pressure: Typed = data["rated_pressure_pa"]
        return fields | {"rated_pressure_pa": pressure.value_si, "rated_pressure_typed": pressure.text}

    def tube_changes(self) -> list[TubeChange]:
        data = self.cleaned_data
        return [
            TubeChange(
                pk=tube.pk,
                diameter_root_m=data[f"diameter_root_m_{tube.pk}"],
                diameter_tip_m=data[f"diameter_tip_m_{tube.pk}"],
                doublings=data[f"doublings_{tube.pk}"],
            )
            for tube in self.tubes
        ]


def tube_name(tube: Tube) -> str:
    """A tube in words: its strut counted by where it meets the leading edge."""
    if tube.kind == Tube.Kind.LEADING_EDGE:
        return gettext("Leading edge")
    return (
        gettext("Centre strut")
        if tube.station == 0
        else gettext("Struts at %(value)s %% of the half span") % {"value": f"{tube.station * 100:g}"}
    )
