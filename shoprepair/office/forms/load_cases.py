"""The assumed figures of the load cases, each in the unit a person would say it in."""

from collections.abc import Callable
from typing import Any, NamedTuple

from django import forms
from django.utils.translation import gettext

from shoprepair.mechanics.description import DEFAULT_CASES
from shoprepair.office.forms.figures import FigureField, read_number, read_scaled, say_number, say_scaled
from shoprepair.office.forms.groups import Group
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import LoadFigures
from shoprepair.shop.units import Units, read_length, read_temperature, say_length

MINUTE, PERCENT, KELVIN_AT_0_C = 60.0, 0.01, 273.15


GROUPS = (
    Group(
        gettext_lazy("A held wing, riding"),
        gettext_lazy(
            "Lift = air density ÷ 2 × wind² × area × lift coefficient × gust factor, at "
            "most what one can hold."
        ),
        ("held_wind_m_per_s", "held_gust", "held_lift_cap_n", "held_share"),
    ),
    Group(
        gettext_lazy("A bridled kite, riding"),
        gettext_lazy(
            "The same arithmetic with the wind that the kite itself feels; its lines carry what no arm could."
        ),
        ("bridled_wind_m_per_s", "bridled_gust", "bridled_share"),
    ),
    Group(
        gettext_lazy("Lift and canopy"),
        gettext_lazy(
            "The canopy's tension follows from the wind's pressure and from how deep the canopy bellies."
        ),
        ("lift_coefficient", "camber_share"),
    ),
    Group(
        gettext_lazy("Lying in the sun"),
        gettext_lazy(
            "Pumped at one temperature, left in the sun at another: the air presses harder, that is all."
        ),
        ("fill_celsius", "hot_celsius"),
    ),
    Group(
        gettext_lazy("What damaged cloth still holds"),
        gettext_lazy(
            "Shares of the strength of sound cloth; and the flaw that the hopeful bound of a cut starts from."
        ),
        ("faded_share", "brittle_share", "folded_share", "flaw_length_m"),
    ),
    Group(
        gettext_lazy("Stitching"),
        gettext_lazy("A row holds stitches per metre × thread strength × this factor."),
        ("stitches_per_m", "thread_strength_n", "stitch_factor"),
    ),
    Group(
        gettext_lazy("Leaks"),
        gettext_lazy("A leak grounds an inflatable that would not last this long."),
        ("session_s",),
    ),
    Group(
        gettext_lazy("Repairs"),
        gettext_lazy("A repair of a casing must hold this many times the load of the worst case."),
        ("safety_factor",),
    ),
)

LABELS = {
    "held_wind_m_per_s": gettext_lazy("Wind over a held wing"),
    "held_gust": gettext_lazy("Gust factor of a held wing"),
    "held_lift_cap_n": gettext_lazy("The most a person can hold"),
    "held_share": gettext_lazy("Share of a held wing's lift in the leading edge"),
    "bridled_wind_m_per_s": gettext_lazy("Apparent wind over a kite"),
    "bridled_gust": gettext_lazy("Gust factor of a kite"),
    "bridled_share": gettext_lazy("Share of a kite's lift in the leading edge"),
    "lift_coefficient": gettext_lazy("Lift coefficient"),
    "fill_celsius": gettext_lazy("Temperature when pumped"),
    "hot_celsius": gettext_lazy("Temperature of a casing in the sun"),
    "session_s": gettext_lazy("Length of a session"),
    "flaw_length_m": gettext_lazy("Flaw length of the hopeful bound"),
    "camber_share": gettext_lazy("Depth of the canopy's belly, as a share of the chord"),
    "faded_share": gettext_lazy("Strength left in faded cloth"),
    "brittle_share": gettext_lazy("Strength left in brittle cloth"),
    "folded_share": gettext_lazy("Strength left where a scuff folds to an edge"),
    "stitches_per_m": gettext_lazy("Stitches per metre"),
    "thread_strength_n": gettext_lazy("Breaking strength of the thread"),
    "stitch_factor": gettext_lazy("Seam strength over stitches × thread"),
    "safety_factor": gettext_lazy("Safety factor of a casing repair"),
}


class Manner(NamedTuple):
    """How one figure is said, read and what unit stands beside it."""

    say: Callable[[float], str]
    read: Callable[[str], float]
    unit: str = ""


def manner(name: str, units: Units) -> Manner:
    """How a person with these units says and writes the figure of this name."""
    if name.endswith("_celsius"):
        return _temperature(units)
    if name.endswith("_share"):
        return Manner(say_scaled(PERCENT), read_scaled(PERCENT), "%")
    if name == "session_s":
        return Manner(say_scaled(MINUTE), read_scaled(MINUTE), "minutes")
    if name == "stitches_per_m":
        return Manner(lambda figure: f"{figure:.4g}", read_number)
    if name == "flaw_length_m":
        return Manner(lambda m: say_length(m, units), lambda text: read_length(text, units).value_si)
    unit = "m/s" if name.endswith("_m_per_s") else "N" if name.endswith("_n") else ""
    return Manner(say_number, read_number, unit)


def _temperature(units: Units) -> Manner:
    fahrenheit = units.temperature == "°F"

    def say(celsius: float) -> str:
        return say_number(celsius * 1.8 + 32 if fahrenheit else celsius)

    return Manner(say, lambda text: read_temperature(text, units).value_si - KELVIN_AT_0_C, units.temperature)


def say_figure(name: str, value: float, units: Units) -> str:
    """The figure with its unit, as a sentence would hold it."""
    how = manner(name, units)
    return f"{how.say(value)} {how.unit}".strip()


class LoadCasesForm(forms.Form):
    """All figures of the load cases. `figures` is what is stored."""

    use_required_attribute = False
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, figures: LoadFigures, units: Units, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        for name, label in LABELS.items():
            how = manner(name, units)
            low, high = bounds(name)
            self.fields[name] = FigureField(
                label=label, stored=getattr(figures, name), say=how.say, read=how.read, low=low, high=high
            )

    def clean_seen(self) -> int:
        return self.cleaned_data["seen"] or 0

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("hot_celsius", 90) < cleaned.get("fill_celsius", -10):
            self.add_error(
                "hot_celsius", gettext("A casing in the sun cannot be colder than when it was pumped.")
            )
        if cleaned.get("brittle_share", 0) > cleaned.get("faded_share", 1):
            self.add_error(
                "brittle_share", gettext("Brittle cloth cannot hold more than faded cloth; write less.")
            )
        return cleaned

    def figures(self) -> dict[str, float]:
        """Every figure in the unit it is stored in."""
        return {name: self.cleaned_data[name] for name in LABELS}


def bounds(name: str) -> tuple[float, float]:
    """The least and the most that a figure may be, in the unit it is stored in."""
    low, high = (v.limit_value for v in LoadFigures._meta.get_field(name).validators)
    return float(low), float(high)


def default(name: str) -> float:
    """What the program assumes until the owner knows better."""
    return float(getattr(DEFAULT_CASES, name))
