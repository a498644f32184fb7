"""What was written down earlier and may be corrected: a visit, its customer, its piece of gear."""

from typing import Any

from django import forms
from django.utils import timezone

from shoprepair.counter.forms.amounts import MoneyField, in_currency
from shoprepair.counter.forms.customers import CustomerForm
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Customer, Job
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.settings import current

WET = {True: "yes", False: "no", None: ""}
_NATIVE_MINUTE = "%Y-%m-%dT%H:%M"


class VisitForm(forms.Form):
    """When the gear came, when it is promised, what came along."""

    received_at = forms.DateTimeField(
        label=gettext_lazy("Came in"),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=_NATIVE_MINUTE),
        error_messages={
            "required": gettext_lazy("Write when it came in."),
            "invalid": gettext_lazy("Write day and time as 2026-05-31 14:30."),
        },
    )
    promised_on = forms.DateField(
        label=gettext_lazy("Promised for"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": gettext_lazy("Write the day it is promised for."),
            "invalid": gettext_lazy("Write the day as 2026-05-31."),
        },
    )
    came_with = forms.CharField(
        label=gettext_lazy("Came along"),
        max_length=300,
        required=False,
        help_text=gettext_lazy("With commas between: bag, pump, leash."),
        widget=forms.TextInput(attrs={"dir": "auto"}),
    )
    arrived_wet = forms.ChoiceField(
        label=gettext_lazy("Wet or sandy"),
        required=False,
        choices=[("yes", gettext_lazy("Yes")), ("no", gettext_lazy("No")), ("", gettext_lazy("Not said"))],
        widget=forms.RadioSelect,
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4, "dir": "auto"}),
    )

    @staticmethod
    def written(job: Job) -> dict[str, Any]:
        """The job's own facts, as the form shows them."""
        return {
            "received_at": timezone.localtime(job.received_at).replace(second=0, microsecond=0),
            "promised_on": job.promised_on,
            "came_with": ", ".join(job.came_with),
            "arrived_wet": WET[job.arrived_wet],
            "note": job.note,
        }

    def facts(self) -> dict[str, Any]:
        """The corrected facts, as `jobs.corrections.correct` takes them."""
        said = dict(self.cleaned_data)
        if "received_at" not in self.changed_data:
            # The field shows minutes: seconds that nobody touched are no correction.
            del said["received_at"]
        words = (" ".join(word.split()) for word in said["came_with"].split(","))
        said["came_with"] = list(dict.fromkeys(word for word in words if word))
        said["arrived_wet"] = {"yes": True, "no": False}.get(said["arrived_wet"])
        return said


class CustomerFactsForm(CustomerForm):
    """Who the customer is, as the counter wrote it."""

    @staticmethod
    def written(customer: Customer) -> dict[str, Any]:
        return {name: getattr(customer, name) for name in CustomerForm.base_fields}

    def facts(self) -> dict[str, Any]:
        return dict(self.cleaned_data)


class GearFactsForm(forms.Form):
    """What is this inflatable's own, whatever its pattern."""

    serial = forms.CharField(
        label=gettext_lazy("Serial"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"dir": "auto"}),
    )
    colour = forms.CharField(
        label=gettext_lazy("Colour"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"dir": "auto"}),
    )
    bought_year = forms.IntegerField(
        label=gettext_lazy("Year bought"),
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={"invalid": gettext_lazy("Write the year with four figures: 2024.")},
    )
    new_price = MoneyField(
        label=gettext_lazy("What it cost new"),
        required=False,
        help_text=gettext_lazy("A quote is held against what it is worth today. Empty: as its pattern."),
    )
    condition = forms.ChoiceField(
        label=gettext_lazy("Cloth"),
        choices=Inflatable._meta.get_field("condition").choices,
        widget=forms.RadioSelect,
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4, "dir": "auto"}),
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        in_currency(self, current().currency)

    @staticmethod
    def written(inflatable: Inflatable) -> dict[str, Any]:
        return {name: getattr(inflatable, name) for name in GearFactsForm.base_fields}

    def facts(self) -> dict[str, Any]:
        return dict(self.cleaned_data)
