"""When a forgotten stretch of time really ended."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy
from shoprepair.work.models import Stint


class MendForm(forms.Form):
    """The end as the person remembers it, and why."""

    ended_at = forms.DateTimeField(
        label=gettext_lazy("It ended at"),
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"],
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        error_messages={
            "invalid": gettext_lazy("Give a day and a time, such as 2026-11-25 14:05."),
            "required": gettext_lazy("Give the day and the time."),
        },
    )
    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=150,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Say why, in a few words.")},
    )

    def __init__(self, stint: Stint, *args: object, **options: object) -> None:
        self.stint = stint
        options.setdefault("label_suffix", "")
        options.setdefault("auto_id", f"id_{stint.pk}_%s")
        options.setdefault(
            "initial",
            {"ended_at": timezone.localtime(stint.ended_at or timezone.now()), "why": _usual(stint)},
        )
        super().__init__(*args, **options)


def _usual(stint: Stint) -> str:
    return "" if stint.ended_at else gettext("Forgot to stop it.")
