"""The rules that make a price, as the owner types them."""

from typing import Any, NamedTuple

from django import forms

from shoprepair.office.forms.decimals import ExactField, MoneyField
from shoprepair.office.forms.figures import FigureField
from shoprepair.pricing.models import PriceRules
from shoprepair.pricing.rules import CHANGEABLE, LENGTHS, LONGEST_VALID_DAYS, MOST_MINUTES
from shoprepair.shop.units import Units, read_length, say_length

LABELS = {
    "hourly_rate": "Hour of bench work",
    "minimum_charge": "Least that a job costs",
    "rounding": "Amounts are rounded",
    "tax_name": "Name of the tax",
    "tax_percent": "Tax",
    "deposit_percent": "Deposit",
    "deposit_from": "Deposit from a total of",
    "valid_days": "A quote is valid for",
    "opening_fixed_minutes": "Each opening",
    "opening_minutes_per_m": "Length of an opening",
    "opening_reach_m": "An arm reaches past an opening",
    "opening_least_m": "Shortest opening",
    "yearly_loss_percent": "Gear loses in a year",
    "least_worth_percent": "Sound old gear keeps",
    "not_worth_percent": "Not worth repairing from",
}
HINTS = {
    "hourly_rate": "Without tax. Every minute of every operation is priced by it.",
    "minimum_charge": "A smaller job is raised to this, without tax.",
    "rounding": "Each line, and every sum of lines.",
    "tax_name": "As it stands on the quote: VAT, sales tax.",
    "deposit_percent": "Share of the total, asked for with the go-ahead. 0: none.",
    "deposit_from": "Smaller totals need no deposit.",
    "opening_fixed_minutes": "Unpick, draw the bladder, put it back, close again; whatever its length.",
    "opening_minutes_per_m": "On top, for each metre of closing seam.",
    "opening_reach_m": "So that one opening serves repairs beside it.",
    "opening_least_m": "A hand and the machine's foot must pass.",
    "yearly_loss_percent": "Of what it was worth a year before.",
    "least_worth_percent": "Of its price new, however old.",
    "not_worth_percent": "Share of its present worth that a repair may cost.",
}


class Group(NamedTuple):
    """Rules that belong together."""

    title: str
    about: str
    names: tuple[str, ...]


GROUPS = (
    Group(
        "Rates",
        "A line costs its minutes at the hourly rate, and its materials with their waste.",
        ("hourly_rate", "minimum_charge", "rounding"),
    ),
    Group("Tax", "Added once, on the sum of the lines.", ("tax_name", "tax_percent")),
    Group(
        "Deposit and term",
        "What a customer pays when they say yes, and how long they may think it over.",
        ("deposit_percent", "deposit_from", "valid_days"),
    ),
    Group(
        "Openings",
        "Bench time to reach the inside of a tube. Planned to the least of it; shared time is charged once.",
        ("opening_fixed_minutes", "opening_minutes_per_m", "opening_reach_m", "opening_least_m"),
    ),
    Group(
        "What gear is worth",
        "Its price new, less a share of the rest each year. A quote that is not worth it says so.",
        ("yearly_loss_percent", "least_worth_percent", "not_worth_percent"),
    ),
)
PER_METRE = "min per m"


class PriceRulesForm(forms.Form):
    """All price rules. `stored` is what holds now."""

    use_required_attribute = False

    tax_name = forms.CharField(max_length=40, error_messages={"required": "Name the tax, such as VAT."})
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
                "opening_least_m", "Nobody opens more than both arms reach; write less, or a longer reach."
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
