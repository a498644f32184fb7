"""When the parts come that a job waits for."""

from typing import Any

from django import forms

from shoprepair.work.calendar import LONGEST_PARTS_NOTE


class ExpectedPartsForm(forms.Form):
    """The first day on which all parts are there; empty where nobody knows."""

    use_required_attribute = False

    day = forms.DateField(
        label="Parts expected on",
        help_text="Empty: nobody knows, and no date is reckoned.",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Write the day as 2026-12-24, or choose it."},
    )
    note = forms.CharField(
        label="From whom, or which",
        required=False,
        max_length=LONGEST_PARTS_NOTE,
        widget=forms.TextInput(attrs={"autocomplete": "off", "dir": "auto"}),
        error_messages={"max_length": f"Say it in {LONGEST_PARTS_NOTE} letters or fewer."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", auto_id="parts-%s", **kwargs)
