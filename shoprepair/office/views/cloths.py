"""The cloths of the library: a table of their strengths, and a page to add or correct one."""

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.gear import changes
from shoprepair.gear.models import Cloth
from shoprepair.jobs.models import Job
from shoprepair.office.forms.cloths import FIGURES, LABELS, ClothForm, scale
from shoprepair.office.forms.figures import say_number
from shoprepair.office.views.lines import Said, lines, shown
from shoprepair.office.views.once import made
from shoprepair.office.views.refused import say_stale
from shoprepair.office.views.resting import warn_of_jobs
from shoprepair.shop import journal
from shoprepair.shop.access import owner_only
from shoprepair.shop.changes import ChangedMeanwhile, newest
from shoprepair.shop.units import Units

JOURNAL_LENGTH = 20


@owner_only
@require_safe
def cloths(request: HttpRequest) -> HttpResponse:
    every = list(Cloth.objects.all())
    groups = [(use.label, [cloth for cloth in every if cloth.use == use]) for use in Cloth.Use]
    return render(request, "office/cloths.html", {"groups": [group for group in groups if group[1]]})


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    sent = request.POST if request.method == "POST" else None
    form = ClothForm(request.units, None, sent, initial={"key": uuid4().hex})
    if form.is_bound and (place := made(request, form, lambda: _add(request, form))):
        return redirect(place)
    return _page(request, form, None)


def _add(request: HttpRequest, form: ClothForm) -> str:
    cloth = changes.add_cloth(who=request.user, **form.cloth())
    messages.success(request, gettext("%(cloth)s is in the library.") % {"cloth": cloth})
    return reverse("cloths")


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    cloth = get_object_or_404(Cloth, pk=pk)
    sent = request.POST if request.method == "POST" else None
    form = ClothForm(request.units, cloth, sent, initial={"seen": newest(cloth)})
    if form.is_bound and form.is_valid() and _save(request, cloth, form):
        return redirect("cloths")
    return _page(request, form, cloth)


def _save(request: HttpRequest, cloth: Cloth, form: ClothForm) -> bool:
    try:
        changed = changes.change_cloth(
            cloth, who=request.user, seen=form.cleaned_data["seen"], **form.cloth()
        )
    except changes.NameTaken as refused:
        form.add_error("name", str(refused))
        return False
    except ChangedMeanwhile as refused:
        say_stale(form, str(refused), newest(cloth))
        return False
    messages.success(
        request,
        gettext("Saved: %(cleaned_data)s.") % {"cleaned_data": form.cleaned_data["name"]}
        if changed
        else gettext("Nothing was different."),
    )
    if changed:
        warn_of_jobs(request, _open_jobs(cloth))
    return True


def _open_jobs(cloth: Cloth) -> int:
    return Job.objects.filter(is_open=True, inflatable__pattern__in=changes.cut_from(cloth)).count()


def _page(request: HttpRequest, form: ClothForm, cloth: Cloth | None) -> HttpResponse:
    page = {
        "form": form,
        "cloth": cloth,
        "figures": [(form[name], scale(name, request.units)[1]) for name in FIGURES],
        "patterns": list(changes.cut_from(cloth).filter(measured_here=False)) if cloth else [],
        "lines": lines(journal.entries(cloth)[:JOURNAL_LENGTH], say_change(request.units)) if cloth else [],
    }
    return render(request, "office/cloth.html", page, status=422 if form.is_bound else 200)


def say_change(units: Units) -> Any:
    """How a change of a cloth reads, in the reader's units."""

    def say(name: str, before: Any, after: Any) -> list[Said]:
        return [(LABELS.get(name, name), _value(name, before, units), _value(name, after, units))]

    return say


def _value(name: str, value: Any, units: Units) -> str:
    if name == "measured":
        return gettext("measured or published") if value else gettext("assumed")
    if name in FIGURES:
        per, unit = scale(name, units)
        return f"{say_number(value / per)} {unit}"
    return shown(dict(Cloth.Use.choices).get(value, value))
