"""What people write about materials: deliveries, rules, countings, and what a step takes."""

import datetime
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.pricing.models import Material
from shoprepair.pricing.quotes.words import day
from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.work import stock
from shoprepair.work.models import Lot, StockRule
from shoprepair.work.stock.lots import LONGEST_MARK, LONGEST_REASON, Closing
from shoprepair.work.stock.quantities import say_figure
from shoprepair.work.stock.rules import MOST_MONTHS

SIGNS = {"m2": "m²", "m": "m", "piece": gettext_lazy("pieces")}
_LONGEST_ENTRY = 60


class QuantityField(forms.CharField):
    """How much of a material, read in its unit, which stands beside the box; `zero` lets it be nought."""

    def __init__(self, label: str, unit: str, *, zero: bool = False, **options: Any) -> None:
        self.counted_in, self.unit, self.zero = unit, SIGNS[unit], zero
        super().__init__(
            label=label,
            max_length=_LONGEST_ENTRY,
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            error_messages={"required": gettext("Write how much.")},
            **options,
        )

    def prepare_value(self, value: Any) -> Any:
        return say_figure(value) if isinstance(value, Decimal) else value

    def clean(self, value: Any) -> Decimal | None:
        text = super().clean(value)
        return read(text, self.counted_in, zero=self.zero) if text else None


def read(text: str, unit: str, *, zero: bool = False) -> Decimal:
    """A typed quantity; its sentence stands beside the field."""
    try:
        quantity = stock.read_quantity(text, unit)
    except ValueError as refused:
        raise forms.ValidationError(str(refused)) from None
    if not quantity and not zero:
        raise forms.ValidationError(gettext("Write more than nought."))
    return quantity


class DayField(forms.DateField):
    """A day, by the browser's own calendar or typed."""

    def __init__(self, label: str, **options: Any) -> None:
        super().__init__(
            label=label,
            widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
            error_messages={
                "invalid": gettext("Write the day as 2031-05-30."),
                "required": gettext("Write the day, such as 2031-05-30."),
            },
            **options,
        )


class _Form(forms.Form):
    use_required_attribute = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)


class ReceiveForm(_Form):
    """A lot that came in."""

    code = forms.CharField(
        label=gettext_lazy("Mark"),
        help_text=gettext_lazy("As it stands on the roll or the box."),
        max_length=LONGEST_MARK,
        error_messages={"required": gettext_lazy("Write the mark as it stands on the roll or the box.")},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    received_on = DayField(gettext_lazy("Came in on"))
    expires_on = DayField(gettext_lazy("Use by"), required=False)
    note = forms.CharField(label=gettext_lazy("Note"), required=False, max_length=LONGEST_REASON)

    def __init__(self, material: Material, rule: StockRule, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {"received_on": timezone.localdate()} | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        self.fields["quantity"] = QuantityField(gettext("How much"), material.unit)
        months = rule.shelf_months
        self.fields["expires_on"].help_text = (
            gettext("Empty: %(months)s months after it came in.") % {"months": months}
            if months
            else gettext("Empty where it keeps for good.")
        )
        self.order_fields(["code", "quantity", "received_on", "expires_on", "note"])


class RuleForm(_Form):
    """When a material is ordered, and from whom."""

    supplier = forms.CharField(label=gettext_lazy("Supplier"), required=False, max_length=120)
    shelf_months = forms.IntegerField(
        label=gettext_lazy("Keeps for, in months"),
        help_text=gettext_lazy("Empty where it keeps for good."),
        required=False,
        min_value=0,
        max_value=MOST_MONTHS,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={
            "invalid": gettext_lazy("Write whole months, such as 18."),
            "min_value": gettext_lazy("Write the months that it keeps, or leave it empty."),
            "max_value": filled(
                gettext_lazy("Write %(most_months)s months at most, or leave it empty."),
                most_months=MOST_MONTHS,
            ),
        },
    )

    def __init__(self, material: Material, rule: StockRule, *args: Any, **kwargs: Any) -> None:
        names = ("low_at", "order_up_to", "supplier", "shelf_months")
        kwargs["initial"] = {name: getattr(rule, name) for name in names}
        super().__init__(*args, **kwargs)
        self.fields["low_at"] = QuantityField(gettext("Low at"), material.unit, zero=True)
        self.fields["low_at"].help_text = gettext("Free of what agreed repairs reserve.")
        self.fields["order_up_to"] = QuantityField(gettext("Order up to"), material.unit, zero=True)
        self.order_fields(["low_at", "order_up_to", "supplier", "shelf_months"])


class CountForm(_Form):
    """What somebody found when they counted."""

    reason = forms.CharField(
        label=gettext_lazy("Why it differs"),
        max_length=LONGEST_REASON,
        help_text=gettext_lazy("Such as: end of the roll was stained."),
        error_messages={
            "required": gettext_lazy("Say why the count differs, such as “end of the roll was stained”.")
        },
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, lot: Lot, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {"version": lot.version}
        super().__init__(*args, **kwargs)
        self.fields["found"] = QuantityField(gettext("Found"), lot.material.unit, zero=True)
        self.order_fields(["found", "reason", "version"])


class CloseForm(_Form):
    """Why nothing more is taken of a lot."""

    why = forms.ChoiceField(
        label=gettext_lazy("Why"),
        choices=Closing.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Choose why."),
            "invalid_choice": gettext_lazy("Choose one of those shown."),
        },
    )


class TakeForm(_Form):
    """What a step takes: from which lot, and how much."""

    lot = forms.ChoiceField(
        label=gettext_lazy("From lot"),
        error_messages={
            "required": gettext_lazy("Choose the lot."),
            "invalid_choice": gettext_lazy("That lot is used up or closed. Choose one of those shown."),
        },
    )
    quantity = forms.CharField(
        label=gettext_lazy("How much"),
        max_length=_LONGEST_ENTRY,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Write how much is taken.")},
    )

    def __init__(self, lots: Sequence[Lot], who: Staff, *args: Any, named: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lots = {str(lot.pk): lot for lot in lots}
        self.fields["lot"].choices = [("", gettext("Choose")), *_grouped(lots)] if named else _plain(lots)
        if who.is_owner and any(stock.expired(lot) for lot in lots):
            self.fields["reason"] = forms.CharField(
                label=gettext("Why an expired lot may be used"), required=False, max_length=LONGEST_REASON
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        lot, text = self.lots.get(cleaned.get("lot", "")), cleaned.get("quantity")
        if lot and text:
            try:
                cleaned["quantity"] = read(text, lot.material.unit)
            except forms.ValidationError as refused:
                self.add_error("quantity", refused)
        return cleaned

    @property
    def chosen(self) -> Lot:
        return self.lots[self.cleaned_data["lot"]]


def _plain(lots: Sequence[Lot]) -> list[tuple[str, str]]:
    return [(str(lot.pk), say_lot(lot)) for lot in lots]


def _grouped(lots: Sequence[Lot]) -> list[tuple[str, list[tuple[str, str]]]]:
    groups: dict[str, list[Lot]] = {}
    for lot in lots:
        groups.setdefault(lot.material.name, []).append(lot)
    return [(name, _plain(of)) for name, of in groups.items()]


def say_lot(lot: Lot, today: datetime.date | None = None) -> str:
    """A lot as a choice: 'A1: 0.35 m², use by 3 December'."""
    left = stock.say_level(lot.left, lot.material.unit)
    if lot.expires_on is None:
        return f"{lot.code}: {left}"
    word = gettext("expired") if stock.expired(lot, today) else gettext("use by")
    return f"{lot.code}: {left}, {word} {day(lot.expires_on)}"
