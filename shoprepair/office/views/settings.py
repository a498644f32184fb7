"""The shop's settings: one long form, and below it what was changed before."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.office.forms.hours import DAYS, HoursForm, say_hours
from shoprepair.office.forms.lasting import LABELS as OF_TIMES
from shoprepair.office.forms.self_check import LABELS as OF_SELF_CHECK
from shoprepair.office.forms.settings import LABELS, SettingsForm
from shoprepair.office.views.lines import Said, lines, shown
from shoprepair.office.views.refused import say_stale
from shoprepair.shop import changes, journal
from shoprepair.shop.access import owner_only
from shoprepair.shop.models import Shop
from shoprepair.shop.settings import current, load_figures
from shoprepair.shop.weeks import weekdays

JOURNAL_LENGTH = 20


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def settings(request: HttpRequest) -> HttpResponse:
    shop = current()
    sent = request.POST if request.method == "POST" else None
    form = SettingsForm(shop, sent, initial={"seen": changes.newest(shop)})
    hours = HoursForm(shop, sent)
    if sent is not None and all([form.is_valid(), hours.is_valid()]) and _save(request, form, hours):
        return redirect("settings")
    page = {
        "form": form,
        "hours": hours,
        "safety_factor": load_figures().safety_factor,
        "lines": lines(journal.entries(shop)[:JOURNAL_LENGTH], say_change),
    }
    return render(request, "office/settings.html", page, status=422 if sent is not None else 200)


def _save(request: HttpRequest, form: SettingsForm, hours: HoursForm) -> bool:
    fields = {name: form.cleaned_data[name] for name in LABELS if name != "working_hours"}
    try:
        changed = changes.change_shop(
            who=request.user,
            seen=form.cleaned_data["seen"],
            **fields,
            working_hours=hours.hours(),
        )
    except changes.ChangedMeanwhile as refused:
        say_stale(form, str(refused), changes.newest(current()))
        return False
    messages.success(request, _saved(changed))
    return True


def _saved(changed: dict[str, Any]) -> str:
    names = [LABELS[name] for name in changed]
    return (
        gettext("Saved: %(join)s.") % {"join": ", ".join(names)}
        if names
        else gettext("Nothing was different, so nothing was changed.")
    )


def say_change(name: str, before: Any, after: Any) -> list[Said]:
    """A changed setting in words; the working hours day by day."""
    if name == "working_hours":
        pairs = [(DAYS[n], say_hours(before, n), say_hours(after, n)) for n in weekdays(current())]
        return [pair for pair in pairs if pair[1] != pair[2]]
    words = dict(Shop._meta.get_field(name).choices or {}) if name in LABELS else {}
    label = {**LABELS, **OF_SELF_CHECK, **OF_TIMES}.get(name, name)
    return [(label, shown(words.get(before, before)), shown(words.get(after, after)))]
