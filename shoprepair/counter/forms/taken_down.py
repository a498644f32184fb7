"""What a device sends of gear that was taken in without a line, and what a person says of it afterwards."""

import datetime
from typing import Any

from django import forms
from django.utils import timezone

from shoprepair.gear import everyday
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Customer
from shoprepair.jobs.models.words import choices
from shoprepair.jobs.taken_down import Said, TakenDown
from shoprepair.mechanics.description import FindingKind, Kind
from shoprepair.shop.languages import gettext_lazy

NEW = "new"
AS_NOTE = "note-"
"""Before the number of gear that is here already: what was said goes to the notes of its job."""
OLDEST = datetime.timedelta(days=60)
USUAL = ("bag", "pump", "leash")
SIZES = {
    "small": gettext_lazy("small"),
    "medium": gettext_lazy("medium"),
    "large": gettext_lazy("large"),
    everyday.UNSURE: gettext_lazy("not sure"),
}


class TakenDownForm(forms.Form):
    """The form of the page that a device keeps; its words are read again here, where the rules are."""

    name = forms.CharField(
        max_length=120, error_messages={"required": gettext_lazy("Write the customer's name.")}
    )
    phone = forms.CharField(max_length=40, required=False)
    email = forms.CharField(max_length=254, required=False)
    kind = forms.ChoiceField(
        choices=[(kind.value, kind.value) for kind in Kind],
        error_messages={
            "required": gettext_lazy("Say whether it is a wing or a kite."),
            "invalid_choice": gettext_lazy("Say whether it is a wing or a kite."),
        },
    )
    size = forms.ChoiceField(choices=list(SIZES.items()), required=False)
    model = forms.CharField(max_length=80, required=False)
    serial = forms.CharField(max_length=40, required=False)
    damage_kind = forms.ChoiceField(choices=[("", ""), *choices(FindingKind)], required=False)
    damage = forms.CharField(max_length=500, required=False)
    said = forms.CharField(max_length=1500, required=False)
    came_with = forms.MultipleChoiceField(choices=[(word, word) for word in USUAL], required=False)
    other = forms.CharField(max_length=300, required=False)
    arrived_wet = forms.ChoiceField(choices=[("yes", "yes"), ("no", "no"), ("", "")], required=False)
    waited_s = forms.FloatField(required=False, min_value=0)
    """How long ago it was written, by the device's clock, of which only this difference is believed."""

    def taken_down(self) -> TakenDown:
        """What was written, as the rules take it."""
        said = self.cleaned_data
        others = [" ".join(word.split()) for word in said["other"].split(",")]
        words = {name: said[name] for name in ("name", "phone", "email", "model", "serial", "said")}
        return TakenDown(
            **words,
            at=timezone.now() - min(datetime.timedelta(seconds=said["waited_s"] or 0), OLDEST),
            kind=Kind(said["kind"]),
            size=said["size"] or everyday.UNSURE,
            damage_kind=said["damage_kind"],
            damage=said["damage"],
            came_with=(*said["came_with"], *filter(None, others)),
            arrived_wet={"yes": True, "no": False}.get(said["arrived_wet"]),
        )


class SaidForm(forms.Form):
    """Which customer and which gear, where somebody was asked."""

    customer = forms.CharField(max_length=20, required=False)
    gear = forms.CharField(max_length=20, required=False)

    def said(self) -> Said:
        """The records that were chosen; what is not there any more was not chosen, and is asked again."""
        customer, gear = self.cleaned_data["customer"], self.cleaned_data["gear"]
        return Said(
            customer=_found(Customer.objects.filter(erased_at=None), customer),
            new_customer=customer == NEW,
            inflatable=_found(Inflatable.objects.all(), gear.removeprefix(AS_NOTE)),
            new_gear=gear == NEW,
            as_note=gear.startswith(AS_NOTE),
        )


def _found(records: Any, number: str) -> Any:
    whole = number.isascii() and number.isdecimal() and len(number) < 10
    return records.filter(pk=int(number)).first() if whole else None
