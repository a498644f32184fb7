"""The figures that every assessment assumes, and judging the open jobs anew after one changed."""

import time
from typing import Any, NamedTuple

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST

from shoprepair.jobs import judging_anew
from shoprepair.jobs.models import Job
from shoprepair.office.forms.load_cases import (
    GROUPS,
    LABELS,
    Group,
    LoadCasesForm,
    default,
    manner,
    say_figure,
)
from shoprepair.office.views.lines import Said, lines, shown
from shoprepair.office.views.refused import say_stale
from shoprepair.shop import changes, journal
from shoprepair.shop.access import owner_only
from shoprepair.shop.models import LoadFigures
from shoprepair.shop.settings import load_figures
from shoprepair.shop.units import Units

JOURNAL_LENGTH = 20
MANY_JOBS = 2000
PATIENCE_S = 5.0
"""How long somebody is kept waiting for the jobs; the worker goes on with those that remain."""


class Row(NamedTuple):
    """One figure: its field, its unit, and what the program assumes."""

    field: Any
    name: str
    unit: str
    default: str
    changed: bool


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def figures(request: HttpRequest) -> HttpResponse:
    """A POST saves; with `back` it saves with that figure at its default."""
    stored = load_figures()
    sent = _sent(request) if request.method == "POST" else None
    form = LoadCasesForm(stored, request.units, sent, initial={"seen": changes.newest(stored)})
    if sent is not None and form.is_valid() and _save(request, form):
        return redirect("load-figures")
    page = {
        "form": form,
        "groups": [(group, _rows(group, form, stored, request.units)) for group in GROUPS],
        "open_jobs": Job.objects.filter(is_open=True).count(),
        "many": MANY_JOBS,
        "due": judging_anew.is_due(),
        "run": judging_anew.standing(),
        "lines": lines(journal.entries(stored, judging_anew.SUBJECT)[:JOURNAL_LENGTH], _say(request.units)),
    }
    return render(request, "office/load_cases.html", page, status=422 if sent is not None else 200)


def _sent(request: HttpRequest) -> Any:
    back = request.POST.get("back")
    if back not in LABELS:
        return request.POST
    sent = request.POST.copy()
    sent[back] = manner(back, request.units).say(default(back))
    return sent


def _rows(group: Group, form: LoadCasesForm, stored: LoadFigures, units: Units) -> list[Row]:
    return [
        Row(
            form[name],
            name,
            manner(name, units).unit,
            say_figure(name, default(name), units),
            getattr(stored, name) != default(name),
        )
        for name in group.names
    ]


def _save(request: HttpRequest, form: LoadCasesForm) -> bool:
    figures = form.figures()
    if (back := request.POST.get("back")) in LABELS:
        figures[back] = default(back)
    try:
        changed = changes.change_load_figures(who=request.user, seen=form.cleaned_data["seen"], **figures)
    except changes.ChangedMeanwhile as refused:
        say_stale(form, str(refused), changes.newest(load_figures()))
        return False
    said = [
        f"{LABELS[name]}: {say_figure(name, after, request.units)}" for name, (_, after) in changed.items()
    ]
    messages.success(
        request,
        gettext("Saved. %(join)s.") % {"join": "; ".join(said)}
        if said
        else gettext("Nothing was different."),
    )
    return True


@owner_only
@require_POST
def reassess_open(request: HttpRequest) -> HttpResponse:
    """Judge open jobs anew for as long as somebody will wait; the worker goes on with the rest by itself."""
    if judging_anew.standing() is None:
        judging_anew.begin()
    run = judging_anew.go_on(time.monotonic() + PATIENCE_S, request.user)
    if run.left:
        return render(request, "office/reassess.html", {"run": run})
    messages.success(request, judging_anew.said(run))
    return redirect("load-figures")


def _say(units: Units) -> Any:
    def say(name: str, before: Any, after: Any) -> list[Said]:
        if name not in LABELS:
            return [(name, shown(before), shown(after))]
        return [(LABELS[name], say_figure(name, before, units), say_figure(name, after, units))]

    return say
