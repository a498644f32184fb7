"""A material as the owner types it."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.office.forms.decimals import ExactField, MoneyField
from shoprepair.pricing.catalogue_changes import OF_MATERIALS
from shoprepair.pricing.models import Material
from shoprepair.shop.languages import gettext_lazy

LABELS = {
    "name": gettext_lazy("Name"),
    "unit": gettext_lazy("Counted by the"),
    "price": gettext_lazy("Price"),
    "waste_percent": gettext_lazy("Waste"),
    "active": gettext_lazy("In use"),
}
ACTIVE = [("yes", gettext_lazy("Yes")), ("no", gettext_lazy("Switched off"))]


class MaterialForm(forms.Form):
    """A material, new or known."""

    use_required_attribute = False

    name = forms.CharField(
        label=LABELS["name"],
        max_length=80,
        error_messages={"required": gettext_lazy("Give the material a name.")},
    )
    unit = forms.ChoiceField(label=LABELS["unit"], choices=Material.Unit.choices, widget=forms.RadioSelect)
    active = forms.ChoiceField(
        label=LABELS["active"],
        help_text=gettext_lazy("Switched off, it is offered for no operation that does not have it yet."),
        choices=ACTIVE,
        widget=forms.RadioSelect,
        required=False,
    )
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, material: Material | None, currency: str, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = _initial(material) | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["price"] = MoneyField(
            LABELS["price"], gettext("What you charge for one unit, waste not counted."), currency=currency
        )
        self.fields["waste_percent"] = ExactField(
            LABELS["waste_percent"],
            gettext("What cutting throws away, charged on top."),
            unit="%",
            high=100,
            places=2,
        )

    def clean_name(self) -> str:
        return " ".join(self.cleaned_data["name"].split())

    def clean_active(self) -> bool:
        return self.cleaned_data["active"] != "no"

    def clean_seen(self) -> int:
        return self.cleaned_data["seen"] or 0

    def material(self) -> dict[str, Any]:
        """The material's fields as they are stored."""
        return {name: self.cleaned_data[name] for name in OF_MATERIALS}


def _initial(material: Material | None) -> dict[str, Any]:
    if material is None:
        return {"unit": Material.Unit.SQUARE_METRE, "waste_percent": Decimal(15), "active": "yes"}
    fields = {name: getattr(material, name) for name in OF_MATERIALS}
    return fields | {"active": "yes" if material.active else "no"}
