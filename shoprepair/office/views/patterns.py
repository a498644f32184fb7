"""The pattern library: every pattern drawn, each on a page of its own, and copied from there."""

from typing import Any, NamedTuple
from uuid import uuid4

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe

from shoprepair.gear import changes, describe, diagram, plot
from shoprepair.gear.models import Cloth, Pattern, Tube
from shoprepair.jobs.models import Job
from shoprepair.mechanics.description import Kind
from shoprepair.office.forms.copies import CopyForm
from shoprepair.office.forms.patterns import tube_name
from shoprepair.office.views.lines import lines
from shoprepair.office.views.once import made
from shoprepair.office.views.pattern_words import say_change, say_share
from shoprepair.shop import journal
from shoprepair.shop.access import owner_only
from shoprepair.shop.settings import cases
from shoprepair.shop.units import say_typed

MEASURED_A_PAGE = 24
JOURNAL_LENGTH = 20


class Card(NamedTuple):
    """One pattern on the wall."""

    pattern: Pattern
    drawing: Any


@owner_only
@require_safe
def wall(request: HttpRequest) -> HttpResponse:
    """The library, wings and kites apart; what stands in for a model not known; what the counter measured."""
    standing = list(whole().filter(measured_here=False).order_by("area_m2", "name"))
    library = [pattern for pattern in standing if not pattern.everyday]
    measured = Paginator(whole().filter(measured_here=True).order_by("-pk"), MEASURED_A_PAGE)
    shown_page = measured.get_page(request.GET.get("page"))
    page = {
        "wings": [_card(p) for p in library if p.kind == Kind.WING],
        "kites": [_card(p) for p in library if p.kind == Kind.KITE],
        "everyday": [_card(p) for p in standing if p.everyday],
        "measured": [_card(p) for p in shown_page],
        "measured_page": shown_page,
    }
    return render(request, "office/patterns.html", page)


def whole() -> QuerySet[Pattern]:
    return (
        Pattern.objects.select_related("casing", "canopy", "window")
        .prefetch_related("tubes", "panels", "valves")
        .annotate(inflatable_count=Count("inflatables"))
    )


def _card(pattern: Pattern) -> Card:
    drawn = describe.planform(pattern)
    # A page of them all brings the paths of each along.
    drawing = diagram.draw(drawn, title=str(pattern), unique=f"p{pattern.pk}", fine=False)
    return Card(pattern, drawing)


@owner_only
@require_safe
def one(request: HttpRequest, pk: int) -> HttpResponse:
    pattern = get_object_or_404(whole(), pk=pk)
    return _page(request, pattern, CopyForm(initial={"key": uuid4().hex, "name": _free_name(pattern)}))


@owner_only
@require_POST
def copy(request: HttpRequest, pk: int) -> HttpResponse:
    pattern = get_object_or_404(whole(), pk=pk)
    form = CopyForm(request.POST)
    if place := made(request, form, lambda: _copy(request, pattern, form)):
        return redirect(place)
    return _page(request, pattern, form)


def _copy(request: HttpRequest, pattern: Pattern, form: CopyForm) -> str:
    made = changes.copy_pattern(pattern, name=form.cleaned_data["name"], who=request.user)
    messages.success(
        request, gettext("%(made)s stands in the library. Correct its figures below.") % {"made": made}
    )
    return reverse("pattern-edit", args=[made.pk])


def _free_name(pattern: Pattern) -> str:
    return (gettext("%(name)s copy") % {"name": str(pattern)})[:80]


def _page(request: HttpRequest, pattern: Pattern, form: CopyForm) -> HttpResponse:
    planform, plain, figures = describe.planform(pattern), describe.description(pattern), cases()
    page = {
        "pattern": pattern,
        "drawing": diagram.draw(
            planform,
            load=diagram.load_map(planform, plain, figures),
            title=gettext("%(name)s, load map") % {"name": str(pattern)},
            unique="one",
            measured=diagram.measures(planform, request.units),
        ),
        "legends": [diagram.load_legend(), diagram.load_legend("legend-narrow", in_a_row=4)],
        "plots": [
            plot.strength_plot(plain, figures),
            plot.strength_plot(plain, figures, unique="plot-narrow", width=plot.NARROW),
        ],
        "rated_pressure": say_typed(pattern.rated_pressure_pa, pattern.rated_pressure_typed, request.units),
        "seam_efficiency": say_share(pattern.seam_efficiency),
        "bridles": ", ".join(map(say_share, pattern.bridle_stations)),
        "tubes": [_row(tube, pattern) for tube in pattern.tubes.all()],
        "cloths": _cloths(pattern),
        "open_jobs": open_jobs(pattern).count(),
        "form": form,
        "lines": lines(journal.entries(pattern)[:JOURNAL_LENGTH], say_change(request.units)),
    }
    return render(request, "office/pattern.html", page, status=422 if form.errors else 200)


class TubeRow(NamedTuple):
    name: str
    root_m: float
    tip_m: float
    doublings: str
    assumed: bool


def _row(tube: Tube, pattern: Pattern) -> TubeRow:
    mark = "leading_edge" if tube.kind == Tube.Kind.LEADING_EDGE else "struts"
    doublings = ", ".join(map(say_share, tube.doublings)) or gettext("nowhere")
    return TubeRow(
        tube_name(tube), tube.diameter_root_m, tube.diameter_tip_m, doublings, mark in pattern.assumed
    )


def _cloths(pattern: Pattern) -> list[tuple[str, Cloth, bool]]:
    """Label, cloth and whether it was assumed."""
    names = ("casing", "canopy", "window")
    return [
        (name.capitalize(), cloth, name in pattern.assumed)
        for name in names
        if (cloth := getattr(pattern, name))
    ]


def open_jobs(pattern: Pattern) -> QuerySet[Job]:
    """The open jobs whose assessments rest on this pattern."""
    return Job.objects.filter(is_open=True, inflatable__pattern=pattern)
