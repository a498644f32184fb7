"""The rules that make a price, as the owner types them."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.office.forms.decimals import ExactField, MoneyField
from shoprepair.office.forms.figures import FigureField
from shoprepair.office.forms.groups import Group
from shoprepair.pricing.models import PriceRules
from shoprepair.pricing.rules import CHANGEABLE, LENGTHS, LONGEST_VALID_DAYS, MOST_MINUTES
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, read_length, say_length

LABELS = {
    "hourly_rate": gettext_lazy("Hour of bench work"),
    "hour_cost_percent": gettext_lazy("Own cost of an hour"),
    "minimum_charge": gettext_lazy("Least that a job costs"),
    "rounding": gettext_lazy("Amounts are rounded"),
    "tax_name": gettext_lazy("Name of the tax"),
    "tax_percent": gettext_lazy("Tax"),
    "deposit_percent": gettext_lazy("Deposit"),
    "deposit_from": gettext_lazy("Deposit from a total of"),
    "valid_days": gettext_lazy("A quote is valid for"),
    "opening_fixed_minutes": gettext_lazy("Each opening"),
    "opening_minutes_per_m": gettext_lazy("Length of an opening"),
    "opening_reach_m": gettext_lazy("An arm reaches past an opening"),
    "opening_least_m": gettext_lazy("Shortest opening"),
    "yearly_loss_percent": gettext_lazy("Gear loses in a year"),
    "least_worth_percent": gettext_lazy("Sound old gear keeps"),
    "not_worth_percent": gettext_lazy("Not worth repairing from"),
}
HINTS = {
    "hourly_rate": gettext_lazy("Without tax. Every minute of every operation is priced by it."),
    "hour_cost_percent": gettext_lazy(
        "Share of the rate: wages, room, machines. Only you see on a quote what work costs by it."
    ),
    "minimum_charge": gettext_lazy("A smaller job is raised to this, without tax."),
    "rounding": gettext_lazy("Each line, and every sum of lines."),
    "tax_name": gettext_lazy("As it stands on the quote: VAT, sales tax."),
    "deposit_percent": gettext_lazy("Share of the total, asked for with the go-ahead. 0: none."),
    "deposit_from": gettext_lazy("Smaller totals need no deposit."),
    "opening_fixed_minutes": gettext_lazy(
        "Unpick, draw the bladder, put it back, close again; whatever its length."
    ),
    "opening_minutes_per_m": gettext_lazy("On top, for each metre of closing seam."),
    "opening_reach_m": gettext_lazy("So that one opening serves repairs beside it."),
    "opening_least_m": gettext_lazy("A hand and the machine's foot must pass."),
    "yearly_loss_percent": gettext_lazy("Of what it was worth a year before."),
    "least_worth_percent": gettext_lazy("Of its price new, however old."),
    "not_worth_percent": gettext_lazy("Share of its present worth that a repair may cost."),
}


GROUPS = (
    Group(
        gettext_lazy("Rates"),
        gettext_lazy("A line costs its minutes at the hourly rate, and its materials with their waste."),
        ("hourly_rate", "hour_cost_percent", "minimum_charge", "rounding"),
    ),
    Group(
        gettext_lazy("Tax"), gettext_lazy("Added once, on the sum of the lines."), ("tax_name", "tax_percent")
    ),
    Group(
        gettext_lazy("Deposit and term"),
        gettext_lazy("What a customer pays when they say yes, and how long they may think it over."),
        ("deposit_percent", "deposit_from", "valid_days"),
    ),
    Group(
        gettext_lazy("Openings"),
        gettext_lazy(
            "Bench time to reach the inside of a tube. Planned to the least of it; "
            "shared time is charged once."
        ),
        ("opening_fixed_minutes", "opening_minutes_per_m", "opening_reach_m", "opening_least_m"),
    ),
    Group(
        gettext_lazy("What gear is worth"),
        gettext_lazy(
            "Its price new, less a share of the rest each year. A quote that is not worth it says so."
        ),
        ("yearly_loss_percent", "least_worth_percent", "not_worth_percent"),
    ),
)
PER_METRE = gettext_lazy("min per m")


class PriceRulesForm(forms.Form):
    """All price rules. `stored` is what holds now."""

    use_required_attribute = False

    tax_name = forms.CharField(
        max_length=40, error_messages={"required": gettext_lazy("Name the tax, such as VAT.")}
    )
    rounding = forms.ChoiceField(choices=PriceRules.Rounding.choices)
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, stored: PriceRules, units: Units, currency: str, *args: Any, **kwargs: Any) -> None:
        plain = (name for name in (*CHANGEABLE, "version") if name not in LENGTHS)
        kwargs["initial"] = {name: getattr(stored, name) for name in plain} | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)
        for name, label in LABELS.items():
            if name not in self.fields:
                self.fields[name] = _field(name, stored, units, currency)
            self.fields[name].label, self.fields[name].help_text = label, HINTS.get(name, "")

    def clean_version(self) -> int:
        return self.cleaned_data["version"] or 0

    def clean_tax_name(self) -> str:
        return " ".join(self.cleaned_data["tax_name"].split())

    def clean_valid_days(self) -> int:
        return int(self.cleaned_data["valid_days"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("opening_least_m", 0) > 2 * cleaned.get("opening_reach_m", 9):
            self.add_error(
                "opening_least_m",
                gettext("Nobody opens more than both arms reach; write less, or a longer reach."),
            )
        return cleaned

    def fields_of_rules(self) -> dict[str, Any]:
        """The rules' fields as they are stored."""
        return {name: self.cleaned_data[name] for name in CHANGEABLE}


def _field(name: str, stored: PriceRules, units: Units, currency: str) -> forms.Field:
    if name in LENGTHS:
        low, high = LENGTHS[name]
        return FigureField(
            stored=getattr(stored, name),
            say=lambda metres: say_length(metres, units),
            read=lambda text: read_length(text, units).value_si,
            low=low,
            high=high,
        )
    if name.endswith("_percent"):
        return ExactField("", unit="%", high=100, places=2)
    if name == "valid_days":
        return ExactField("", unit="days", low=1, high=LONGEST_VALID_DAYS, places=0)
    if name.startswith("opening_"):
        return ExactField("", unit=PER_METRE if name.endswith("_m") else "min", high=MOST_MINUTES)
    return MoneyField("", currency=currency)
