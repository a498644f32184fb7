"""How the bench works: second look, hold tests, forgotten timers, slack in promises."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.office.forms.work_rules import GROUPS, LABELS, UNITS, WorkRulesForm, say_height
from shoprepair.office.views.lines import Said, lines, shown
from shoprepair.office.views.refused import say_refused
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.access import owner_only
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units
from shoprepair.work import rules
from shoprepair.work.models import WorkRules

JOURNAL_LENGTH = 20


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def work_rules(request: HttpRequest) -> HttpResponse:
    """The rules with what was changed; a POST saves."""
    stored = rules.current()
    sent = request.POST if request.method == "POST" else None
    form = WorkRulesForm(stored, request.units, sent)
    if sent is not None and form.is_valid() and _save(request, stored, form):
        return redirect("work-rules")
    page = {
        "form": form,
        "groups": [(group, [form[name] for name in group.names]) for group in GROUPS],
        "alone": Staff.objects.filter(is_active=True).count() < 2,
        "lines": lines(journal.entries(stored)[:JOURNAL_LENGTH], _say(request.units)),
    }
    return render(request, "office/work_rules.html", page, status=422 if sent else 200)


def _save(request: HttpRequest, stored: WorkRules, form: WorkRulesForm) -> bool:
    version, before = form.cleaned_data["version"] or 0, stored.version
    try:
        changed = rules.change(stored, who=request.user, version=version, **form.fields_of_rules())
    except (Stale, ValidationError) as refused:
        say_refused(form, refused)
        return False
    if changed.version == before:
        messages.success(request, gettext("Nothing was different, so nothing was changed."))
    else:
        messages.success(
            request, gettext("Saved. A hold test that has begun keeps the limits it began with.")
        )
    return True


def _say(units: Units) -> Any:
    def say(name: str, before: Any, after: Any) -> list[Said]:
        return [(LABELS.get(name, name), _value(name, before, units), _value(name, after, units))]

    return say


def _value(name: str, value: Any, units: Units) -> str:
    if isinstance(value, bool):
        return gettext("yes") if value else gettext("no")
    if name == "shop_height_m":
        return say_height(value, units)
    if name == "thermometer_k":
        return f"{value * 1.8 if units.temperature == '°F' else value:.4g} {units.temperature}"
    return f"{shown(value)} {UNITS.get(name, '%')}"
