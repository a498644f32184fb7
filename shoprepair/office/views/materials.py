"""The materials that repairs use up: a table of their prices, and a page to add or change one."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.office.forms.materials import LABELS, MaterialForm
from shoprepair.office.views.lines import Said, lines, shown
from shoprepair.office.views.once import made
from shoprepair.office.views.refused import say_stale
from shoprepair.pricing.catalogue_changes import OF_MATERIALS, NameTaken, add_material, change_material
from shoprepair.pricing.estimate import count
from shoprepair.pricing.models import Material, Operation
from shoprepair.pricing.money import say, say_alike
from shoprepair.pricing.typical import with_waste
from shoprepair.shop import journal, undoing
from shoprepair.shop.access import owner_only
from shoprepair.shop.changes import ChangedMeanwhile, newest
from shoprepair.shop.languages import gettext_lazy

JOURNAL_LENGTH = 20
UNITS = [
    (Material.Unit.SQUARE_METRE, gettext_lazy("By the square metre")),
    (Material.Unit.METRE, gettext_lazy("By the metre")),
    (Material.Unit.PIECE, gettext_lazy("By the piece")),
]


@owner_only
@require_safe
def materials(request: HttpRequest) -> HttpResponse:
    every = list(Material.objects.annotate(operations=Count("uses__operation", distinct=True)))
    groups = [
        (title, _priced([material for material in every if material.unit == unit], request.shop.currency))
        for unit, title in UNITS
    ]
    return render(request, "office/materials.html", {"groups": [group for group in groups if group[1]]})


def _priced(group: list[Material], currency: str) -> list[tuple[Material, str, str]]:
    """Each material with its price and with what waste makes of it, each column written alike."""
    prices = say_alike((material.price for material in group), currency)
    return list(zip(group, prices, say_alike(map(with_waste, group), currency), strict=True))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    sent = request.POST if request.method == "POST" else None
    form = MaterialForm(None, request.shop.currency, sent, initial={"key": uuid4().hex})
    if form.is_bound and (place := made(request, form, lambda: _add(request, form))):
        return redirect(place)
    return _page(request, form, None)


def _add(request: HttpRequest, form: MaterialForm) -> str:
    material = add_material(who=request.user, **form.material())
    messages.success(request, gettext("%(material)s is among the materials.") % {"material": material})
    return reverse("materials")


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    material = get_object_or_404(Material, pk=pk)
    sent = request.POST if request.method == "POST" else None
    form = MaterialForm(material, request.shop.currency, sent, initial={"seen": newest(material)})
    if form.is_bound and form.is_valid() and _save(request, material, form):
        return redirect("materials")
    return _page(request, form, material)


def _save(request: HttpRequest, material: Material, form: MaterialForm) -> bool:
    before = MaterialForm(material, request.shop.currency)
    as_it_was = {name: before[name].value() for name in OF_MATERIALS}
    try:
        changed = change_material(
            material, who=request.user, seen=form.cleaned_data["seen"], **form.material()
        )
    except NameTaken as refused:
        form.add_error("name", str(refused))
        return False
    except ChangedMeanwhile as refused:
        say_stale(form, str(refused), newest(material))
        return False
    except ValidationError as refused:
        form.add_error(None, refused)
        return False
    if not changed:
        messages.success(request, gettext("Nothing was different."))
        return True
    undoing.tell(
        request,
        gettext("Saved: %(cleaned_data)s.") % {"cleaned_data": form.cleaned_data["name"]},
        reverse("material", args=[material.pk]),
        **as_it_was | {"seen": newest(material)},
    )
    return True


def _page(request: HttpRequest, form: MaterialForm, material: Material | None) -> HttpResponse:
    page = {
        "form": form,
        "material": material,
        "used_by": Operation.objects.filter(materials__material=material).distinct() if material else [],
        "lines": lines(journal.entries(material)[:JOURNAL_LENGTH], say_change(request.shop.currency))
        if material
        else [],
    }
    return render(request, "office/material.html", page, status=422 if form.is_bound else 200)


def say_change(currency: str) -> Any:
    """How a change of a material reads, its price in the shop's money."""

    def said(name: str, before: Any, after: Any) -> list[Said]:
        return [(LABELS.get(name, name), _value(name, before, currency), _value(name, after, currency))]

    return said


def _value(name: str, value: Any, currency: str) -> str:
    if name == "price":
        return say(Decimal(str(value)), currency)
    if name == "active":
        return gettext("in use") if value else gettext("switched off")
    if name == "waste_percent":
        return f"{count(Decimal(str(value)))} %"
    return shown(dict(Material.Unit.choices).get(value, value))
