"""A lay-up as the bench would rather have it, and an operation that a person adds."""

from typing import Any

from django import forms

from shoprepair.counter.forms.fields import LengthField, in_units
from shoprepair.pricing import layup
from shoprepair.shop.units import Units

THREADS = layup.THREADS
MOST_PLIES, MOST_ROWS = 6, 12


def _count(label: str, least: int, most: int) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={
            "required": f"Count them, {least} to {most}.",
            "invalid": f"Count them, {least} to {most}.",
            "min_value": f"Count them, {least} to {most}.",
            "max_value": f"Count them, {least} to {most}.",
        },
    )


class LayupForm(forms.Form):
    """Plies, rows, pitch, thread and outline of a sewn patch."""

    version = forms.IntegerField(required=False, widget=forms.HiddenInput, min_value=0, max_value=10**8)
    plies_inside = _count("Plies inside", 0, MOST_PLIES)
    plies_outside = _count("Plies outside", 0, MOST_PLIES)
    rows = _count("Rows of stitches", 1, MOST_ROWS)
    pitch = LengthField(label="Stitch length", error_messages={"required": "Measure a stitch: 3 mm."})
    thread = forms.ChoiceField(
        label="Thread",
        choices=[(name, name) for name in THREADS],
        error_messages={"invalid_choice": "Choose one of these threads."},
    )
    along = LengthField(label="Outline along the tube", required=False)
    around = LengthField(label="Outline around the tube", required=False)
    reason = forms.CharField(
        label="Why it may stand",
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"dir": "auto", "autocomplete": "off"}),
        error_messages={"max_length": "Say it in 300 letters or fewer; these are %(show_value)s."},
    )

    def __init__(self, *args: Any, units: Units, **options: Any) -> None:
        super().__init__(*args, label_suffix="", **options)
        in_units(self, units)

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        if said.get("plies_inside") == said.get("plies_outside") == 0:
            self.add_error("plies_inside", "A patch has at least one ply.")
        if bool(said.get("along")) != bool(said.get("around")) and not self.errors:
            self.add_error("around", "Give both sides of the outline, or neither.")
        return said

    def figures(self) -> dict[str, Any]:
        """The lay-up in SI, as the domain takes it."""
        said = self.cleaned_data
        outline = (said["along"].value_si, said["around"].value_si) if said["along"] else None
        return {
            "plies_inside": said["plies_inside"],
            "plies_outside": said["plies_outside"],
            "rows": said["rows"],
            "pitch_m": said["pitch"].value_si,
            "thread": THREADS[said["thread"]],
            "outline_m": outline,
        }
