"""Days on which somebody, or nobody, works, as the owner types them."""

from typing import Any

from django import forms

from shoprepair.shop.models import Staff
from shoprepair.work.calendar import LONGEST_NOTE

WRONG_DAY = "Write the day as 2026-12-24, or choose it."


class HolidayForm(forms.Form):
    """A stretch of days; whose it is is asked too."""

    use_required_attribute = False

    who = forms.ModelChoiceField(
        label="Who is away",
        queryset=Staff.objects.none(),
        required=False,
        empty_label="The whole shop",
        error_messages={"invalid_choice": "Choose one of those shown."},
    )
    first_day = forms.DateField(
        label="First day",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": "Say on which day it begins.", "invalid": WRONG_DAY},
    )
    last_day = forms.DateField(
        label="Last day",
        help_text="Empty: that one day.",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": WRONG_DAY},
    )
    note = forms.CharField(
        label="Why",
        help_text="For yourselves; no customer sees it.",
        required=False,
        max_length=LONGEST_NOTE,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        staff = Staff.objects.filter(is_active=True).order_by("first_name", "username")
        self.fields["who"].queryset = staff  # type: ignore[attr-defined]
