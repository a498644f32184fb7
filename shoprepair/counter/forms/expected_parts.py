"""When the parts come that a job waits for."""

from typing import Any

from django import forms

from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.work.calendar import LONGEST_PARTS_NOTE


class ExpectedPartsForm(forms.Form):
    """The first day on which all parts are there; empty where nobody knows."""

    use_required_attribute = False

    day = forms.DateField(
        label=gettext_lazy("Parts expected on"),
        help_text=gettext_lazy("Empty: nobody knows, and no date is reckoned."),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": gettext_lazy("Write the day as 2026-12-24, or choose it.")},
    )
    note = forms.CharField(
        label=gettext_lazy("From whom, or which"),
        required=False,
        max_length=LONGEST_PARTS_NOTE,
        widget=forms.TextInput(attrs={"autocomplete": "off", "dir": "auto"}),
        error_messages={
            "max_length": filled(
                gettext_lazy("Say it in %(longest_parts_note)s letters or fewer."),
                longest_parts_note=LONGEST_PARTS_NOTE,
            )
        },
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", auto_id="parts-%s", **kwargs)
