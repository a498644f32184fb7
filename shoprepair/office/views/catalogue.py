"""The catalogue: every operation by its area, with the price of a typical case beside it."""

from dataclasses import dataclass
from typing import Any, NamedTuple

from django.contrib import messages
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe

from shoprepair.pricing import catalogue, learning, rules, typical
from shoprepair.pricing.catalogue_changes import change_operation
from shoprepair.pricing.models import Material, Operation, PriceRules
from shoprepair.pricing.stale import Stale
from shoprepair.shop import undoing
from shoprepair.shop.access import owner_only
from shoprepair.shop.units import say_bench_time

LONGEST_SEARCH = 80


@dataclass(frozen=True, slots=True)
class Measured:
    """What the bench needed for a typical case: the middle, and between what half of the times lie."""

    count: int
    middle: float
    low: float
    high: float

    @property
    def alike(self) -> bool:
        """Whether both ends of the range read the same, so that there is none to tell."""
        return self.count > 1 and say_bench_time(self.low) == say_bench_time(self.high)


class Row(NamedTuple):
    """An operation as the list shows it."""

    operation: Operation
    typical: typical.Typical
    measured: Measured | None = None


class Filter(NamedTuple):
    """What the list is narrowed to."""

    text: str = ""
    area: str = ""
    use: str = ""
    """'on', 'off', or '' for both."""

    @classmethod
    def of(cls, sent: Any) -> "Filter":
        area, use = sent.get("area", ""), sent.get("use", "")
        return cls(
            text=" ".join(sent.get("text", "")[:LONGEST_SEARCH].split()),
            area=area if area in Operation.Area.values else "",
            use=use if use in {"on", "off"} else "",
        )

    def takes(self, operation: Operation) -> bool:
        words = " ".join([operation.name, *operation.steps, operation.get_area_display()]).casefold()
        return (
            all(word in words for word in self.text.casefold().split())
            and self.area in {"", operation.area}
            and self.use in {"", "on" if operation.active else "off"}
        )

    @property
    def query(self) -> str:
        """The filter as it stands in an address; empty where there is none."""
        named = {"text": self.text, "area": self.area, "use": self.use}
        return urlencode({name: value for name, value in named.items() if value})


@owner_only
@require_safe
def operations(request: HttpRequest) -> HttpResponse:
    chosen = Filter.of(request.GET)
    found = [row for row in _every() if chosen.takes(row)]
    by_rules = rules.current()
    page = {
        "groups": [
            (area, [_row(row, by_rules, request.shop.currency) for row in found if row.area == area.value])
            for area in Operation.Area
            if any(row.area == area.value for row in found)
        ],
        "chosen": chosen,
        "areas": Operation.Area.choices,
        "uses": [("", gettext("On and off")), ("on", gettext("In use")), ("off", gettext("Switched off"))],
        "found": len(found),
        "count": Operation.objects.count(),
        "missing": catalogue.missing(),
        "materials": Material.objects.count(),
    }
    return render(request, "office/catalogue.html", page)


def _every() -> Any:
    return (
        Operation.objects.annotate(measured_count=Count("measured"))
        .prefetch_related("materials__material")
        .order_by("name")
    )


def _row(operation: Any, by_rules: PriceRules, currency: str) -> Row:
    case = typical.case(operation, by_rules, currency=currency)
    return Row(
        operation, case, _measured(operation, float(case.minutes)) if operation.measured_count else None
    )


def _measured(operation: Operation, minutes: float) -> Measured | None:
    learned = learning.learned(operation)
    if learned.median_ratio is None or learned.low is None or learned.high is None:
        return None
    return Measured(
        learned.count, minutes * learned.median_ratio, minutes * learned.low, minutes * learned.high
    )


@owner_only
@require_POST
def bring_in(request: HttpRequest) -> HttpResponse:
    """Bring in what the program has and the shop has not."""
    new = len(catalogue.load())
    said = gettext("1 operation is") if new == 1 else gettext("%(new)s operations are") % {"new": new}
    messages.success(
        request,
        gettext("%(said)s new in the catalogue.") % {"said": said}
        if new
        else gettext("Nothing was missing."),
    )
    return redirect("catalogue")


@owner_only
@require_POST
def switch(request: HttpRequest, pk: int) -> HttpResponse:
    """Take an operation out of use or back; the list keeps its filter."""
    operation = get_object_or_404(Operation, pk=pk)
    active = request.POST.get("active") == "yes"
    try:
        version = int(request.POST.get("version", "")[:9])
    except ValueError:
        version = 0
    try:
        change_operation(operation, who=request.user, version=version, active=active)
    except Stale as refused:
        messages.error(request, str(refused))
    else:
        said = gettext("is in use again") if active else gettext("is switched off: no new quote proposes it")
        other = {"active": "no" if active else "yes", "version": version + 1}
        narrowed = Filter.of(request.POST)._asdict()
        undoing.tell(request, f"{operation} {said}.", request.path, **other, **narrowed)
    query = Filter.of(request.POST).query
    return redirect(f"{reverse('catalogue')}{'?' if query else ''}{query}#operation-{pk}")
