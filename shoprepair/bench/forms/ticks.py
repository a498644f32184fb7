"""What a device sends of a tap, read into what the rules of the bench take."""

import datetime
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.shop.submissions import LONGEST_KEY
from shoprepair.work.crossed import AFTER
from shoprepair.work.models import Tick

LONGEST_REASON = 300
_NO_TIME = datetime.timedelta(0)


class TickForm(forms.Form):
    """One tick. `at` and `sent` are by the device's clock, of which only their difference is believed."""

    key = forms.CharField(
        max_length=LONGEST_KEY, error_messages={"required": gettext_lazy("The tick has no key.")}
    )
    after = forms.CharField(required=False, max_length=LONGEST_KEY)
    step = forms.IntegerField(min_value=1, max_value=2**62)
    verb = forms.ChoiceField(choices=Tick.Verb.choices)
    at = forms.CharField(required=False, max_length=40)
    sent = forms.CharField(required=False, max_length=40)
    reason = forms.CharField(
        required=False,
        max_length=LONGEST_REASON,
        error_messages={
            "max_length": filled(
                gettext_lazy("Say it in at most %(longest_reason)s letters."), longest_reason=LONGEST_REASON
            )
        },
    )

    seen = forms.CharField(required=False, max_length=20)
    """The state in which the device showed the step when it was tapped."""

    def clean_key(self) -> str:
        key: str = self.cleaned_data["key"]
        if not (key.isascii() and key.isprintable()):
            raise forms.ValidationError(gettext("This tick's key is not one of ours; open the page again."))
        return key

    def tapped_at(self, now: datetime.datetime) -> datetime.datetime:
        """When it was tapped, by the shop's clock."""
        return tapped_at(_moment(self.cleaned_data["at"]), _moment(self.cleaned_data["sent"]), now)

    @property
    def sentence(self) -> str:
        """What is wrong with it, in a line."""
        return " ".join(str(error) for errors in self.errors.values() for error in errors)


def tapped_at(
    at: datetime.datetime | None, sent: datetime.datetime | None, now: datetime.datetime
) -> datetime.datetime:
    """A tap's time by the shop's clock, from the device's own at the tap and at the sending.

    How long it waited is what the device's clock can be trusted with; that it goes wrong falls out. Where
    it was set back meanwhile, nothing is known but that the tick is here now.
    """
    if at is None:
        return now
    if sent is None:
        return min(at, now)
    return now - max(sent - at, _NO_TIME)


def _moment(text: str) -> datetime.datetime | None:
    """2026-11-25T14:05:00.000Z, or None for anything else."""
    try:
        moment = datetime.datetime.fromisoformat(text)
        return moment.astimezone(datetime.UTC) if timezone.is_aware(moment) else None
    except (ValueError, OverflowError):
        return None


class DecideForm(forms.Form):
    """As which of two people's ticks the step is to stand."""

    key = forms.CharField(max_length=LONGEST_KEY - 2)
    step = forms.IntegerField(min_value=1, max_value=2**62)
    state = forms.ChoiceField(choices=[(state.value, state.label) for state in AFTER.values()])
    reason = forms.CharField(required=False, max_length=LONGEST_REASON)


class MoveForm(forms.Form):
    """Before which step it goes; empty: to the end."""

    before = forms.IntegerField(required=False, min_value=1, max_value=2**62)


class BenchPhotoForm(forms.Form):
    """A photo of a step."""

    photo = forms.FileField(error_messages={"required": gettext_lazy("Take a photo, or choose one, first.")})
    moment = forms.CharField(required=False, max_length=10)
    shared = forms.BooleanField(required=False)
    key = forms.CharField(required=False, max_length=LONGEST_KEY)

    @property
    def sentence(self) -> str:
        return " ".join(str(error) for errors in self.errors.values() for error in errors)


class TakeJobForm(forms.Form):
    """Which job is taken to the bench."""

    number: Any = forms.IntegerField(min_value=1, max_value=2**31)
