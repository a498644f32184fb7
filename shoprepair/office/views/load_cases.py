"""The figures that every assessment assumes, and judging the open jobs anew after one changed."""

import time
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from shoprepair.jobs.models import Job
from shoprepair.jobs.reassessment import reassess
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
from shoprepair.office.views.settings import say_stale
from shoprepair.shop import changes, journal
from shoprepair.shop.access import owner_only
from shoprepair.shop.models import LoadFigures
from shoprepair.shop.settings import load_figures
from shoprepair.shop.units import Units

JOURNAL_LENGTH = 20
PATIENCE_S = 15.0
"""How long somebody is kept waiting for the jobs; those that remain go on from there."""
MANY_JOBS = 2000
LONGEST_KEY = 18
REASSESSED = "load-figures.jobs-reassessed"


@dataclass(frozen=True, slots=True)
class Row:
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
        "due": is_due(stored),
        "lines": lines(journal.entries(stored)[:JOURNAL_LENGTH], _say(request.units)),
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
    messages.success(request, f"Saved. {'; '.join(said)}." if said else "Nothing was different.")
    return True


def is_due(stored: LoadFigures) -> bool:
    """Whether a figure changed after the open jobs were last judged anew."""
    newest = journal.entries(stored).filter(verb__in=[changes.FIGURES_CHANGED, REASSESSED]).first()
    return newest is not None and newest.verb == changes.FIGURES_CHANGED


@dataclass(slots=True)
class Run:
    """How far judging the open jobs anew has come."""

    last: int
    judged: int = 0
    different: int = 0

    @property
    def left(self) -> int:
        return Job.objects.filter(is_open=True, pk__gt=self.last).count()


@owner_only
@require_POST
def reassess_open(request: HttpRequest) -> HttpResponse:
    """Judge open jobs anew for as long as somebody will wait; `after` goes on where the last tap ended."""
    after = request.POST.get("after", "")
    start = int(after) if after.isdecimal() and len(after) < LONGEST_KEY else 0
    run = _run(start, request.user)
    if run.left:
        return render(request, "office/reassess.html", {"run": run})
    which = "The last " if start else ""
    said = f"{which}{_jobs(run.judged)} judged anew, {run.different} came out differently."
    journal.record(load_figures(), REASSESSED, said, who=request.user)
    messages.success(request, said)
    return redirect("load-figures")


def _run(after: int, who: Any) -> Run:
    run, end = Run(after), time.monotonic() + PATIENCE_S
    for key, change in reassess(after=after, who=who):
        run.last = key
        run.judged += 1
        run.different += change is not None
        if time.monotonic() > end:
            break
    return run


def _jobs(count: int) -> str:
    return "1 open job" if count == 1 else f"{count} open jobs"


def _say(units: Units) -> Any:
    def say(name: str, before: Any, after: Any) -> list[Said]:
        if name not in LABELS:
            return [(name, shown(before), shown(after))]
        return [(LABELS[name], say_figure(name, before, units), say_figure(name, after, units))]

    return say
