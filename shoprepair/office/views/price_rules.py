"""The rules that make a price: one form, with an example quote beside it that follows what is typed."""

from decimal import Decimal
from typing import Any, NamedTuple

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.office.forms.decimals import ExactField, MoneyField
from shoprepair.office.forms.price_rules import GROUPS, LABELS, PriceRulesForm
from shoprepair.office.views.lines import Said, lines, shown
from shoprepair.office.views.refused import say_refused
from shoprepair.pricing import estimate, money, rules, totals, typical
from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import Operation, PriceRules
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal, undoing
from shoprepair.shop.access import owner_only
from shoprepair.shop.units import say_length

JOURNAL_LENGTH = 20
SHOWN = ("casing-patch-small", "bladder-patch", "canopy-tape")
"""A common visit: a cut, the bladder under it, a small tear."""


class Example(NamedTuple):
    """A quote by these rules."""

    lines: tuple[Line, ...]
    totals: totals.Totals


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def price_rules(request: HttpRequest) -> HttpResponse:
    """A POST saves; with `try` it only shows what the example would cost."""
    stored = rules.current()
    sent = request.POST if request.method == "POST" else None
    form = PriceRulesForm(stored, request.units, request.shop.currency, sent)
    is_try = sent is not None and "try" in sent
    if sent is not None and form.is_valid() and not is_try and _save(request, stored, form):
        return redirect("price-rules")
    page = {
        "form": form,
        "groups": [(group, [form[name] for name in group.names]) for group in GROUPS],
        "example": _example(stored, form, request.shop.currency),
        "lines": lines(journal.entries(stored)[:JOURNAL_LENGTH], _say(form, request)),
    }
    if is_try and getattr(request, "htmx", False):
        return render(request, "office/price_example.html", page)
    return render(request, "office/price_rules.html", page, status=422 if sent and not is_try else 200)


def _save(request: HttpRequest, stored: PriceRules, form: PriceRulesForm) -> bool:
    version = form.cleaned_data["version"]
    before, as_it_was = stored.version, _sent(stored, request)
    try:
        changed = rules.change(stored, who=request.user, version=version, **form.fields_of_rules())
    except (Stale, ValidationError) as refused:
        say_refused(form, refused)
        return False
    if changed.version == before:
        messages.success(request, gettext("Nothing was different, so nothing was changed."))
    else:
        undoing.tell(
            request,
            gettext("Saved. The next draft uses these rules; no quote already out is touched."),
            reverse("price-rules"),
            **as_it_was | {"version": changed.version},
        )
    return True


def _sent(stored: PriceRules, request: HttpRequest) -> dict[str, Any]:
    """These rules as a form would send them; lengths in metres, which nothing is rounded to."""
    form = PriceRulesForm(stored, request.units, request.shop.currency)
    lengths = {name: f"{getattr(stored, name)} m" for name in rules.LENGTHS}
    return {name: form[name].value() for name in rules.CHANGEABLE} | lengths


def _example(stored: PriceRules, form: PriceRulesForm, currency: str) -> Example | None:
    """The example by what stands in the form; None while that cannot be read."""
    if form.is_bound and not form.is_valid():
        return None
    by_rules = PriceRules(**form.fields_of_rules()) if form.is_bound else stored
    shown = {row.code: row for row in Operation.objects.filter(code__in=SHOWN)}
    found = [_line(shown[code], by_rules) for code in SHOWN if code in shown]
    if not found:
        return None
    openings = [_access(by_rules)] if any(row.needs_opening for row in shown.values()) else []
    every = (*found, *openings)
    return Example(
        every,
        totals.totals(
            every,
            rounding=money.step_for(by_rules.rounding, currency),
            discount_percent=Decimal(0),
            tax_percent=by_rules.tax_percent,
            tax_name=by_rules.tax_name,
            minimum_charge=by_rules.minimum_charge,
            deposit_percent=by_rules.deposit_percent,
            deposit_from=by_rules.deposit_from,
        ),
    )


def _line(operation: Operation, by_rules: PriceRules) -> Line:
    case = typical.case(operation, by_rules)
    return _priced(operation.name, case.minutes, case.work + case.materials)


def _access(by_rules: PriceRules) -> Line:
    minutes = typical.opening_minutes(by_rules, typical.SEWN.opening_m)
    return _priced(gettext("One opening for both"), minutes, by_rules.hourly_rate * minutes / typical.HOUR)


def _priced(text: str, minutes: Decimal, amount: Decimal) -> Line:
    exact = amount.quantize(money.CENT)
    return Line(kind="repair", text=text, minutes=minutes, cost=exact, amount=exact)


def _say(form: PriceRulesForm, request: HttpRequest) -> Any:
    """How a change of a rule reads: money in the shop's, all else with the unit that its field has."""

    def value(name: str, value: Any) -> str:
        if name in rules.LENGTHS:
            return say_length(value, request.units)
        field = form.fields.get(name)
        if isinstance(field, MoneyField):
            return money.say(Decimal(str(value)), request.shop.currency)
        if isinstance(field, ExactField):
            return f"{estimate.count(Decimal(str(value)))} {gettext(str(field.unit))}"
        return shown(dict(PriceRules.Rounding.choices).get(value, value))

    def say(name: str, before: Any, after: Any) -> list[Said]:
        return [(LABELS.get(name, name), value(name, before), value(name, after))]

    return say
