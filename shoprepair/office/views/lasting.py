"""How long things are kept: each kind with its time, what happens then, and how many are due."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.office.forms.lasting import AS_COUNTED, TimesForm
from shoprepair.office.views.lines import lines
from shoprepair.office.views.refused import say_stale
from shoprepair.shop import changes, journal, lasting
from shoprepair.shop.access import owner_only
from shoprepair.shop.settings import current

JOURNAL_LENGTH = 20


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def times(request: HttpRequest) -> HttpResponse:
    """The times. A POST saves them once the owner was told how much goes by them, and else tells it."""
    shop = current()
    sent = request.POST if request.method == "POST" else None
    kept = lasting.times(shop)
    form = TimesForm(lasting.kinds(), kept, sent, initial={"seen": changes.newest(shop)})
    wanted = form.times() if sent is not None and form.is_valid() else kept
    due = lasting.due(wanted)
    counted = ",".join(str(many) for many in due.values())
    told = not any(due.values()) or request.POST.get(AS_COUNTED) == counted
    if sent is not None and not form.errors and told and _save(request, form):
        return redirect("times-kept")
    page = {
        "form": form,
        "rows": [(form[kind.field], kind, due[kind.field]) for kind in form.kinds],
        "fixed": lasting.fixed(),
        "asked": _asked(form, due) if sent is not None and not form.errors else "",
        "counted": counted,
        "waits": not shop.times_agreed,
        "lines": lines(journal.entries(lasting.SUBJECT)[:JOURNAL_LENGTH], lambda *_: []),
    }
    return render(request, "office/lasting.html", page, status=422 if form.errors else 200)


def _asked(form: TimesForm, due: dict[str, int]) -> str:
    """What goes by these times, in words."""
    return ", ".join(lasting.say(kind, due[kind.field]) for kind in form.kinds if due[kind.field])


def _save(request: HttpRequest, form: TimesForm) -> bool:
    try:
        changed: dict[str, Any] = lasting.agree(
            form.times(), who=request.user, seen=form.cleaned_data["seen"] or 0
        )
    except changes.ChangedMeanwhile as refused:
        say_stale(form, str(refused), changes.newest(current()))
        return False
    messages.success(
        request,
        gettext("Saved. What is past its time goes tonight.")
        if changed
        else gettext("Nothing was different."),
    )
    return True
