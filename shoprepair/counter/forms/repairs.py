"""A lay-up as the bench would rather have it."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.counter.forms.fields import LengthField, in_units
from shoprepair.pricing.layup import THREADS, Layup
from shoprepair.pricing.patch import Sized
from shoprepair.pricing.resewing import Seam
from shoprepair.pricing.tape import Tape
from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.shop.units import Units, say_length

MOST_PLIES, MOST_ROWS = 6, 8
FIELDS_OF: dict[type, tuple[str, ...]] = {
    Layup: ("plies_inside", "plies_outside", "rows", "pitch", "thread", "along", "around"),
    Seam: ("rows", "pitch", "thread", "tapes"),
    Tape: ("faces", "along", "around"),
}
"""What can be changed about each kind."""


def _count(label: str, least: int, most: int) -> forms.IntegerField:
    sentence = filled(gettext_lazy("Count them, %(least)s to %(most)s."), least=least, most=most)
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages=dict.fromkeys(("required", "invalid", "min_value", "max_value"), sentence),
    )


class LayupForm(forms.Form):
    """What can be changed about a patch, a seam or a tape; each asks only for its own."""

    plies_inside = _count(gettext_lazy("Plies inside"), 0, MOST_PLIES)
    plies_outside = _count(gettext_lazy("Plies outside"), 0, MOST_PLIES)
    tapes = _count(gettext_lazy("Strips of cloth under the seam"), 0, MOST_PLIES)
    faces = forms.ChoiceField(
        label=gettext_lazy("Tape on"),
        choices=[("2", gettext_lazy("both faces")), ("1", gettext_lazy("one face"))],
        widget=forms.RadioSelect,
        error_messages={
            "invalid_choice": gettext_lazy("Choose one face or both."),
            "required": gettext_lazy("Choose one face or both."),
        },
    )
    rows = _count(gettext_lazy("Rows of stitches"), 1, MOST_ROWS)
    pitch = LengthField(
        label=gettext_lazy("Stitch length"),
        error_messages={"required": gettext_lazy("Measure a stitch: 3 mm.")},
    )
    thread = forms.ChoiceField(
        label=gettext_lazy("Thread"),
        choices=[(name, name) for name in THREADS],
        error_messages={"invalid_choice": gettext_lazy("Choose one of these threads.")},
    )
    along = LengthField(required=False)
    around = LengthField(required=False)
    reason = forms.CharField(
        label=gettext_lazy("Why it may stand though it is too weak"),
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"dir": "auto", "autocomplete": "off"}),
        error_messages={
            "max_length": gettext_lazy("Say it in 300 letters or fewer; these are %(show_value)s.")
        },
    )

    def __init__(self, *args: Any, layup: Sized, on_a_tube: bool, units: Units, **options: Any) -> None:
        super().__init__(*args, label_suffix="", initial=_as_it_is(layup, units), **options)
        self.names = FIELDS_OF[type(layup)]
        for name in set(self.fields) - {*self.names, "reason"}:
            del self.fields[name]
        if "along" in self.names:
            self.fields["along"].label, self.fields["around"].label = (
                (gettext("Along the tube"), gettext("Around the tube"))
                if on_a_tube
                else (gettext("Along the span"), gettext("From front to back"))
            )
        in_units(self, units)

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        if "along" in self.names and not self.errors and bool(said["along"]) != bool(said["around"]):
            self.add_error("around", gettext("Give both sides of the outline, or leave both empty."))
        return said

    def figures(self) -> dict[str, Any]:
        """What was changed, in SI, as the domain takes it; what still stands as shown is not given."""
        said = {name: self.cleaned_data[name] for name in self.changed_data if name in self.names}
        figures = {name: said[name] for name in said if name.startswith(("plies", "rows", "tapes", "thread"))}
        if said.get("pitch"):
            figures["pitch_m"] = said["pitch"].value_si
        if "faces" in said:
            figures |= {"plies_outside": 1, "plies_inside": int(said["faces"]) - 1}
        if {"along", "around"} & set(said) and self.cleaned_data["along"]:
            sides = (self.cleaned_data["along"], self.cleaned_data["around"])
            figures["outline_m"] = tuple(side.value_si for side in sides)
        return figures


def _as_it_is(layup: Sized, units: Units) -> dict[str, Any]:
    """The fields as they stand, lengths in the reader's units."""
    names = ("plies_inside", "plies_outside", "tapes", "faces", "rows")
    shown = {name: getattr(layup, name) for name in names if hasattr(layup, name)}
    if not isinstance(layup, Tape):
        shown |= {"pitch": say_length(layup.pitch_m, units), "thread": layup.thread.name}
    if not isinstance(layup, Seam):
        along, around = (say_length(side, units) for side in layup.outline_m)
        shown |= {"along": along, "around": around}
    return shown
