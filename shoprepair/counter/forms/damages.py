"""Where a damage is pinned, and what is answered about it."""

import math
from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.counter.forms.fields import LengthField, in_units
from shoprepair.jobs.models import Damage
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units

LONGEST_WORD = 30
"""Room for any answer there is; which of them exist, the damage itself knows."""
FIELD_OF = {"length_m": "length", "stitched_left_m": "stitched_left"}
"""What a measured field of a damage is called in its form."""


class PinForm(forms.Form):
    """A point of the drawing in metres."""

    x = forms.FloatField()
    y = forms.FloatField()
    kind = forms.CharField(max_length=LONGEST_WORD, required=False)

    def clean(self) -> dict[str, Any]:
        at = [self.cleaned_data.get(name) for name in ("x", "y")]
        if not all(isinstance(figure, float) and math.isfinite(figure) for figure in at):
            raise forms.ValidationError(
                gettext("The tap did not arrive with its place. Tap the drawing once more.")
            )
        return self.cleaned_data


class DamageForm(forms.Form):
    """Answers about a damage. Only what was sent is answered: the rest stays as it is."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    kind = forms.CharField(max_length=LONGEST_WORD, required=False)
    length = LengthField(required=False)
    direction = forms.CharField(max_length=LONGEST_WORD, required=False)
    angle_deg = forms.FloatField(
        required=False, error_messages={"invalid": gettext_lazy("Write the angle in degrees: 45.")}
    )
    face = forms.CharField(max_length=LONGEST_WORD, required=False)
    fold = forms.CharField(max_length=LONGEST_WORD, required=False)
    condition = forms.CharField(max_length=LONGEST_WORD, required=False)
    through_bladder = forms.CharField(max_length=LONGEST_WORD, required=False)
    old_patch = forms.CharField(max_length=LONGEST_WORD, required=False)
    wet = forms.CharField(max_length=LONGEST_WORD, required=False)
    softens = forms.CharField(max_length=LONGEST_WORD, required=False)
    stitched_left = LengthField(required=False)
    under_kind = forms.CharField(max_length=LONGEST_WORD, required=False)
    note = forms.CharField(max_length=2000, required=False)

    def __init__(self, *args: Any, units: Units, **options: Any) -> None:
        super().__init__(*args, **options)
        in_units(self, units)

    def changes(self, damage: Damage) -> dict[str, Any]:
        """The answers that were sent and are not what is kept already, by name."""
        sent = (name for name in self.cleaned_data if name != "version" and name in self.data)
        said = {name: self.cleaned_data[name] for name in sent}
        return {name: value for name, value in said.items() if not _is_kept(damage, name, value)}


def _is_kept(damage: Damage, name: str, value: Any) -> bool:
    if name in FIELD_OF.values():
        return bool(getattr(damage, f"{name}_typed") == (value.text if value else ""))
    return bool(getattr(damage, name) == value)
