"""How the bench works, as the owner types it."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.office.forms.figures import FigureField, read_number
from shoprepair.office.forms.groups import Group
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, read_length, say_length
from shoprepair.work.models import WorkRules
from shoprepair.work.rules import CHANGEABLE, RANGES, WHOLE

FAHRENHEIT_PER_KELVIN = 1.8
LABELS = {
    "second_person": gettext_lazy("Another person looks at each job before it is ready"),
    "allowed_loss_percent_per_hour": gettext_lazy("A tube may lose, an hour"),
    "least_minutes": gettext_lazy("A test takes at least"),
    "gauge_percent": gettext_lazy("The gauge may be off by"),
    "thermometer_k": gettext_lazy("The thermometer may be off by"),
    "shop_height_m": gettext_lazy("The shop lies above the sea"),
    "forgotten_after_minutes": gettext_lazy("A timer counts as forgotten after"),
    "slack_percent": gettext_lazy("What usually goes wrong adds"),
}
HINTS = {
    "allowed_loss_percent_per_hour": gettext_lazy(
        "Of its pressure at the first reading, at one temperature."
    ),
    "least_minutes": gettext_lazy("No tube passes before."),
    "gauge_percent": gettext_lazy("Of what it shows. It stands on the gauge, or in its papers."),
    "thermometer_k": gettext_lazy(
        "1 °C is about 0.005 bar in a hard tube. Too little here makes sound tubes look leaky."
    ),
    "shop_height_m": gettext_lazy("Set against the height of a reading that was taken elsewhere."),
    "forgotten_after_minutes": gettext_lazy("The bench then asks when the work really ended."),
    "slack_percent": gettext_lazy(
        "On top of the bench minutes, for the later of the two dates that are promised."
    ),
}
UNITS = {"least_minutes": "min", "forgotten_after_minutes": "min"}


GROUPS = (
    Group(
        gettext_lazy("Hold test"),
        gettext_lazy(
            "What a tube may lose, and how far instruments are believed. A test keeps "
            "the limits it began with."
        ),
        ("allowed_loss_percent_per_hour", "least_minutes", "gauge_percent", "thermometer_k", "shop_height_m"),
    ),
    Group(
        gettext_lazy("Time"),
        gettext_lazy("Of the bench, and of what is promised."),
        ("forgotten_after_minutes", "slack_percent"),
    ),
)


class WorkRulesForm(forms.Form):
    """All work rules. `stored` is what holds now."""

    use_required_attribute = False

    second_person = forms.BooleanField(label=LABELS["second_person"], required=False)
    version = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0, max_value=2**31)

    def __init__(self, stored: WorkRules, units: Units, *args: Any, **kwargs: Any) -> None:
        start = {"second_person": stored.second_person, "version": stored.version}
        kwargs["initial"] = start | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)
        for name in RANGES:
            field = _field(name, getattr(stored, name), units)
            field.label, field.help_text = LABELS[name], HINTS[name]
            self.fields[name] = field

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in WHOLE:
            figure = cleaned.get(name)
            if figure is not None and figure != int(figure):
                self.add_error(name, gettext("Write a whole number."))
            elif figure is not None:
                cleaned[name] = int(figure)
        return cleaned

    def fields_of_rules(self) -> dict[str, Any]:
        """The rules' fields as they are stored."""
        return {name: self.cleaned_data[name] for name in CHANGEABLE}


def _field(name: str, stored: float, units: Units) -> forms.Field:
    within = RANGES[name]
    if name == "shop_height_m":
        return FigureField(
            stored=stored,
            say=lambda metres: say_height(metres, units),
            read=lambda text: _height(text, units),
            low=within.low,
            high=within.high,
        )
    times, unit = 1.0, UNITS.get(name, "%")
    if name == "thermometer_k":
        unit = units.temperature
        times = FAHRENHEIT_PER_KELVIN if unit == "°F" else 1.0
    field = FigureField(
        stored=stored,
        say=lambda figure: f"{figure * times:.4g}",
        read=lambda text: read_number(text.rstrip(f"{unit} ")) / times,
        low=within.low,
        high=within.high,
    )
    field.unit = unit
    return field


def say_height(metres: float, units: Units) -> str:
    """A height as the owner measures it; sea level without a fraction."""
    return ("0 ft" if units.inches else "0 m") if not metres else say_length(metres, units)


def _height(text: str, units: Units) -> float:
    """Below the sea with a minus."""
    plain = text.strip()
    if plain.startswith(("-", "−")):
        return -read_length(plain[1:], units, large=True).value_si
    return read_length(plain, units, large=True).value_si
