"""An operation of the catalogue as the owner types it: steps a line each, materials a row each."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.office.forms.decimals import ExactField
from shoprepair.pricing.catalogue_changes import (
    CHANGEABLE,
    MINUTES,
    MOST_HOURS,
    MOST_MONTHS,
    MOST_QUANTITY,
    MOST_STEPS,
    SWITCHES,
    Use,
    unit_of,
    uses_of,
)
from shoprepair.pricing.models import Material, Operation, OperationMaterial
from shoprepair.pricing.step_codes import BEWARE, read
from shoprepair.shop.languages import gettext_lazy

SPARE_ROWS = 3
MOST_ROWS = 20
LONGEST_STEP = 200
PASSES_ON = {True: gettext_lazy("passes to a new owner"), False: gettext_lazy("for the first owner only")}
PASSES, FIRST_ONLY = "passes", "first-only"
LABELS = {
    "name": gettext_lazy("Name"),
    "area": gettext_lazy("Part of the inflatable"),
    "steps": gettext_lazy("Steps"),
    "set_up_minutes": gettext_lazy("Set-up"),
    "minutes_per_m": gettext_lazy("Stitching"),
    "minutes_per_m2": gettext_lazy("Patch"),
    "needs_opening": gettext_lazy("Needs the closing seam opened"),
    "bladder_out": gettext_lazy("Needs the bladder out"),
    "needs_hold_test": gettext_lazy("Needs a hold test"),
    "drying_hours": gettext_lazy("Drying or curing"),
    "cover_terms": gettext_lazy("Terms of cover"),
    "cover_months": gettext_lazy("Cover lasts"),
    "cover_passes_on": gettext_lazy("When the gear is sold"),
    "materials": gettext_lazy("Materials"),
    "active": gettext_lazy("In use"),
}


class OperationForm(forms.Form):
    """All of an operation but its materials."""

    use_required_attribute = False

    name = forms.CharField(
        label=LABELS["name"],
        help_text=gettext_lazy("As the customer reads it on the quote."),
        max_length=80,
        error_messages={"required": gettext_lazy("Give the operation a name.")},
    )
    area = forms.ChoiceField(label=LABELS["area"], choices=Operation.Area.choices)
    steps = forms.CharField(
        label=LABELS["steps"],
        help_text=gettext_lazy(
            "One a line, in the order of the work. Where somebody can be hurt, write ⚠ (or !! for it) and "
            "then what to beware of: it stands in a box of its own at the bench."
        ),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 9}),
        error_messages={"required": gettext_lazy("Write what is done, one step a line.")},
    )
    set_up_minutes = ExactField(
        LABELS["set_up_minutes"],
        gettext_lazy("Whatever its size: laying out, marking, cleaning, looking over."),
        unit="min",
        high=MINUTES["set_up_minutes"],
    )
    minutes_per_m = ExactField(
        LABELS["minutes_per_m"],
        gettext_lazy("Each metre of every row."),
        unit=gettext_lazy("min per m"),
        high=MINUTES["minutes_per_m"],
    )
    minutes_per_m2 = ExactField(
        LABELS["minutes_per_m2"],
        gettext_lazy("Each square metre of every ply."),
        unit=gettext_lazy("min per m²"),
        high=MINUTES["minutes_per_m2"],
    )
    needs_opening = forms.BooleanField(label=LABELS["needs_opening"], required=False)
    bladder_out = forms.BooleanField(label=LABELS["bladder_out"], required=False)
    needs_hold_test = forms.BooleanField(label=LABELS["needs_hold_test"], required=False)
    drying_hours = ExactField(
        LABELS["drying_hours"],
        gettext_lazy("Bench-free hours before the next step."),
        unit="h",
        high=MOST_HOURS,
    )
    cover_terms = forms.CharField(
        label=LABELS["cover_terms"],
        help_text=gettext_lazy("What you promise on this repair, as it stands on the papers."),
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": gettext_lazy("Say what is covered, or that nothing is.")},
    )
    cover_months = ExactField(
        LABELS["cover_months"],
        gettext_lazy("Nothing: for the life of the gear. 0: no cover."),
        unit="months",
        high=MOST_MONTHS,
        places=0,
        required=False,
        says_empty=gettext_lazy("for life"),
    )
    cover_passes_on = forms.TypedChoiceField(
        label=LABELS["cover_passes_on"],
        choices=[(PASSES, PASSES_ON[True]), (FIRST_ONLY, PASSES_ON[False])],
        coerce=lambda typed: typed == PASSES,
        empty_value=True,
        required=False,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": gettext_lazy("Choose one of those shown.")},
    )
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    does = forms.CharField(widget=forms.HiddenInput, required=False, max_length=400)

    def __init__(self, operation: Operation | None, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = _initial(operation) | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)

    def clean_name(self) -> str:
        return " ".join(self.cleaned_data["name"].split())

    def clean_cover_terms(self) -> str:
        return " ".join(self.cleaned_data["cover_terms"].split())

    def clean_steps(self) -> list[str]:
        lines = self.cleaned_data["steps"].replace("!!", f" {BEWARE} ").splitlines()
        steps = [" ".join(line.split()) for line in lines if line.strip()]
        if len(steps) > MOST_STEPS:
            raise ValidationError(
                gettext("%(steps)s steps are more than anybody follows; %(MOST_STEPS)s at most.")
                % {"steps": len(steps), "MOST_STEPS": MOST_STEPS}
            )
        if any(len(step) > LONGEST_STEP for step in steps):
            raise ValidationError(
                gettext("A step has at most %(LONGEST_STEP)s letters; make two of a longer one.")
                % {"LONGEST_STEP": LONGEST_STEP}
            )
        return steps

    def clean_cover_months(self) -> int | None:
        months = self.cleaned_data["cover_months"]
        return None if months is None else int(months)

    def clean_version(self) -> int:
        return self.cleaned_data["version"] or 0

    def clean_does(self) -> list[str] | None:
        """What each step does, as a notice brings it back; None where nobody says so."""
        codes = self.cleaned_data["does"].split(",")
        as_many = len(codes) == len(self.cleaned_data.get("steps", ()))
        return [" ".join(sorted(read(code))) for code in codes] if any(codes) and as_many else None

    def fields_of_operation(self) -> dict[str, Any]:
        """The operation's fields as they are stored."""
        return {name: self.cleaned_data[name] for name in CHANGEABLE}

    def minutes(self) -> list[Any]:
        return [self[name] for name in MINUTES]

    def switches(self) -> list[Any]:
        return [self[name] for name in SWITCHES]


def _initial(operation: Operation | None) -> dict[str, Any]:
    if operation is None:
        return {name: Decimal(0) for name in (*MINUTES, "drying_hours")} | {
            "area": Operation.Area.CASING,
            "cover_passes_on": PASSES,
        }
    fields = {name: getattr(operation, name) for name in (*CHANGEABLE, "version")}
    passes = PASSES if operation.cover_passes_on else FIRST_ONLY
    return fields | {"steps": "\n".join(operation.steps), "cover_passes_on": passes}


def as_sent(operation: Operation) -> dict[str, str]:
    """The operation as its page sends it, and what each step does, so that a notice can bring it back."""
    pages = [OperationForm(operation), *UsesForm(operation).rows]
    said = {field.html_name: field.value() for page in pages for field in page}
    said["does"] = ",".join(operation.step_codes)
    return {name: str(value) for name, value in said.items() if value is not None and value is not False}


class UseForm(forms.Form):
    """One row of materials; without a material the row says nothing."""

    use_required_attribute = False

    material = forms.ModelChoiceField(Material.objects.all(), required=False, empty_label="none")
    quantity = ExactField(gettext_lazy("Quantity"), unit="", high=MOST_QUANTITY, places=3, required=False)
    basis = forms.ChoiceField(
        label=gettext_lazy("For"), choices=OperationMaterial.Basis.choices, required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["material"].label_from_instance = _with_unit

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("material") and not self.errors and not cleaned.get("quantity"):
            self.add_error("quantity", gettext("Write how much of it is used, more than 0."))
        if cleaned.get("quantity") and not cleaned.get("material") and "material" not in self.errors:
            self.add_error("material", gettext("Choose what this quantity is of, or empty the row."))
        return cleaned

    def use(self) -> Use | None:
        """The row as it is stored; None where it is empty."""
        data = self.cleaned_data
        if not data["material"]:
            return None
        return Use(data["material"], data["basis"] or OperationMaterial.Basis.EACH, data["quantity"])


def _with_unit(material: Any) -> str:
    off = "" if material.active else gettext(", switched off")
    return (
        f"{material} ({gettext('piece') if material.unit == material.Unit.PIECE else unit_of(material)}{off})"
    )


class UsesForm:
    """All rows of materials, and some to spare."""

    def __init__(self, operation: Operation | None, sent: Any = None) -> None:
        stored = uses_of(operation) if operation else []
        count = min(len(stored) + SPARE_ROWS, MOST_ROWS) if sent is None else _sent_rows(sent)
        self.rows = [UseForm(sent, prefix=f"row{n}", initial=_row(stored, n)) for n in range(count)]
        self._offer(operation)

    def _offer(self, operation: Operation | None) -> None:
        """Materials in use, and the switched-off ones that this operation has already."""
        offered = Material.objects.filter(active=True)
        if operation:
            offered = offered | Material.objects.filter(uses__operation=operation)
        choices = list(offered.distinct().order_by("name"))
        for row in self.rows:
            field = row.fields["material"]
            field.queryset = offered.distinct()
            field.choices = [("", gettext("none")), *((m.pk, _with_unit(m)) for m in choices)]

    def is_valid(self) -> bool:
        return all([row.is_valid() for row in self.rows])  # noqa: C419 - every row says its faults

    def uses(self) -> list[Use]:
        return [use for row in self.rows if (use := row.use())]


def _row(stored: list[Use], number: int) -> dict[str, Any]:
    if number >= len(stored):
        return {}
    use = stored[number]
    return {"material": use.material.pk, "basis": use.basis, "quantity": use.quantity}


def _sent_rows(sent: Any) -> int:
    return next((n for n in range(MOST_ROWS) if f"row{n}-material" not in sent), MOST_ROWS)
