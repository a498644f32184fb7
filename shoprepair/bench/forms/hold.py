"""What people write at a hold test: a pressure, a look at the gauge, a decision, a second look."""

import datetime
from collections.abc import Callable
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.shop.languages import Words, filled, gettext_lazy, in_a_sentence
from shoprepair.shop.models import PressureUnit, TemperatureUnit
from shoprepair.shop.units import Typed, Units, read_length, read_temperature
from shoprepair.work.gauges import read_gauge

LONGEST_ENTRY = 60
LONGEST_REASON = 300
BY_HAND = "%Y-%m-%dT%H:%M"
_DECIMAL = {"inputmode": "decimal", "autocomplete": "off"}


class _InASentence(Words):
    """A label as it stands within a sentence."""

    __slots__ = ()

    @property
    def text(self) -> str:
        """In English."""
        return self[:].lower()

    def __str__(self) -> str:
        return in_a_sentence(Words(self[:]))


class _Form(forms.Form):
    use_required_attribute = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)

    def read(self, name: str, reader: Callable[[str], Typed]) -> Typed | None:
        """A typed figure; its sentence stands beside the field."""
        text = self.cleaned_data.get(name, "")
        if not text:
            return None
        try:
            return reader(text)
        except ValueError as refused:
            self.add_error(name, str(refused))
            return None


def _figure(label: str, example: str, **options: Any) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=LONGEST_ENTRY,
        widget=forms.TextInput(attrs=dict(_DECIMAL)),
        error_messages={
            "required": filled(
                gettext_lazy("Write the %(lower)s, such as %(example)s."),
                lower=_InASentence(label[:]),
                example=example,
            )
        },
        **options,
    )


class BeginForm(_Form):
    """At what pressure a tube is tested."""

    pressure = _figure(gettext_lazy("Test pressure"), "0.50 bar")
    tube = forms.CharField(max_length=20, widget=forms.HiddenInput)
    owner_ok = forms.BooleanField(label=gettext_lazy("As the owner I allow more than rated"), required=False)

    def __init__(self, units: Units, *args: Any, **kwargs: Any) -> None:
        self.units = units
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        self.cleaned_data["typed"] = self.read("pressure", lambda text: read_gauge(text, self.units))
        return self.cleaned_data


class ReadingForm(_Form):
    """One look at the gauge and the thermometer. A time that nobody touched is the moment it arrives."""

    pressure = _figure(gettext_lazy("Pressure"), "0.50")
    pressure_unit = forms.ChoiceField(label=gettext_lazy("Unit of the gauge"), choices=PressureUnit.choices)
    temperature = _figure(gettext_lazy("Temperature"), "20")
    temperature_unit = forms.ChoiceField(
        label=gettext_lazy("Unit of the thermometer"), choices=TemperatureUnit.choices
    )
    at = forms.CharField(
        label=gettext_lazy("Read at"),
        required=False,
        max_length=LONGEST_ENTRY,
        help_text=gettext_lazy("Leave it for now; change it if the gauge was read earlier."),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local", "autocomplete": "off"}),
    )
    shown = forms.CharField(required=False, max_length=LONGEST_ENTRY, widget=forms.HiddenInput)
    height = _figure(
        gettext_lazy("Height above the sea"),
        "120 m",
        required=False,
        help_text=gettext_lazy("Only where it was not read in the shop."),
    )

    def __init__(self, units: Units, *args: Any, **kwargs: Any) -> None:
        self.units = units
        now = f"{timezone.localtime():{BY_HAND}}"
        start = {
            "at": now,
            "shown": now,
            "pressure_unit": units.pressure,
            "temperature_unit": units.temperature,
        }
        kwargs["initial"] = start | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        gauge = Units(
            said.get("pressure_unit") or self.units.pressure,
            self.units.length,
            said.get("temperature_unit") or self.units.temperature,
        )
        said["pressure_typed"] = self.read("pressure", lambda text: read_gauge(text, gauge))
        said["temperature_typed"] = self.read("temperature", lambda text: read_temperature(text, gauge))
        height = self.read("height", lambda text: read_length(text, gauge, large=True))
        said["height_m"] = height.value_si if height else None
        said["moment"] = self._moment()
        return said

    def _moment(self) -> datetime.datetime | None:
        text, now = self.cleaned_data.get("at", ""), timezone.now()
        if not text or text == self.cleaned_data.get("shown"):
            return now
        try:
            return moment(text, now)
        except ValueError as refused:
            self.add_error("at", str(refused))
            return None


def moment(text: str, now: datetime.datetime) -> datetime.datetime:
    """A time by the clock on the shop's wall. Raises ValueError with a sentence for one that never was.

    A time that came twice, as the clocks went back, is the later one that is not in the future.
    """
    try:
        by_the_wall = datetime.datetime.fromisoformat(text)
    except ValueError:
        raise ValueError(gettext("Write day and time as 2031-05-30 14:05.")) from None
    if by_the_wall.tzinfo is not None:
        return by_the_wall
    zone = timezone.get_current_timezone()
    both = [by_the_wall.replace(tzinfo=zone, fold=fold).astimezone(datetime.UTC) for fold in (0, 1)]
    real = [each for each in both if each.astimezone(zone).replace(tzinfo=None) == by_the_wall]
    if not real:
        raise ValueError(gettext("That time never was: the clocks went forward past it. Write another."))
    return max([each for each in real if each <= now] or real[:1])


class DecideForm(_Form):
    """What is decided about a tube, by which readings."""

    holds = forms.ChoiceField(
        choices=[("yes", gettext_lazy("It holds")), ("no", gettext_lazy("It does not hold"))]
    )
    version = forms.IntegerField(min_value=1, max_value=2**31)
    reason = forms.CharField(
        required=False,
        max_length=LONGEST_REASON,
        error_messages={
            "max_length": filled(
                gettext_lazy("Say it in at most %(longest_reason)s letters."), longest_reason=LONGEST_REASON
            )
        },
    )


class CheckForm(_Form):
    """What a second person found."""

    passed = forms.ChoiceField(
        label=gettext_lazy("What did you find?"),
        choices=[("yes", gettext_lazy("It is good")), ("no", gettext_lazy("Something must be done again"))],
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Choose what you found."),
            "invalid_choice": gettext_lazy("Choose one of the two."),
        },
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        required=False,
        max_length=LONGEST_REASON,
        help_text=gettext_lazy("What has to be done again, or what you looked at."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={
            "max_length": filled(
                gettext_lazy("Say it in at most %(longest_reason)s letters."), longest_reason=LONGEST_REASON
            )
        },
    )
