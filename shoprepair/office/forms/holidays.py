"""Days on which somebody, or nobody, works, as the owner types them."""

from typing import Any

from django import forms

from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.work.calendar import LONGEST_NOTE

WRONG_DAY = gettext_lazy("Write the day as 2026-12-24, or choose it.")


class HolidayForm(forms.Form):
    """A stretch of days; whose it is is asked too."""

    use_required_attribute = False

    who = forms.ModelChoiceField(
        label=gettext_lazy("Who is away"),
        queryset=Staff.objects.none(),
        required=False,
        empty_label=gettext_lazy("The whole shop"),
        error_messages={"invalid_choice": gettext_lazy("Choose one of those shown.")},
    )
    first_day = forms.DateField(
        label=gettext_lazy("First day"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": gettext_lazy("Say on which day it begins."), "invalid": WRONG_DAY},
    )
    last_day = forms.DateField(
        label=gettext_lazy("Last day"),
        help_text=gettext_lazy("Empty: that one day."),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": WRONG_DAY},
    )
    note = forms.CharField(
        label=gettext_lazy("Why"),
        help_text=gettext_lazy("For yourselves; no customer sees it."),
        required=False,
        max_length=LONGEST_NOTE,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        staff = Staff.objects.filter(is_active=True).order_by("first_name", "username")
        self.fields["who"].queryset = staff  # type: ignore[attr-defined]
