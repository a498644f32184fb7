"""One lot: what is left, which repairs have it in them; counting it and closing it."""

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe

from shoprepair.bench.forms.stock import CloseForm, CountForm
from shoprepair.bench.views.material import carry_out
from shoprepair.shop import journal
from shoprepair.work import stock
from shoprepair.work.models import Lot

NEWEST_ENTRIES = 50


@require_safe
def lot(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, _lot(pk))


@require_POST
def count(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct what is left to what was found."""
    found = _lot(pk)
    form = CountForm(found, request.POST, prefix="count")

    def act() -> str:
        said = form.cleaned_data
        stock.count(found, said["found"], said["reason"], who=request.user, version=said["version"])
        messages.success(request, gettext("The count is kept."))
        return _address(found)

    return carry_out(request, form, act, lambda: _page(request, _lot(pk), count_form=form))


@require_POST
def close(request: HttpRequest, pk: int) -> HttpResponse:
    """Take nothing more of it; or, where it is closed, open it again."""
    found = _lot(pk)
    if request.POST.get("again"):
        stock.reopen(found, who=request.user)
        messages.success(request, gettext("The lot may be used again."))
        return redirect(_address(found))
    form = CloseForm(request.POST)

    def act() -> str:
        stock.close(found, stock.Closing(form.cleaned_data["why"]), who=request.user)
        messages.success(request, gettext("The lot is closed."))
        return _address(found)

    return carry_out(request, form, act, lambda: _page(request, _lot(pk), close_form=form))


def _lot(pk: int) -> Lot:
    return get_object_or_404(Lot.objects.select_related("material"), pk=pk)


def _address(found: Lot) -> str:
    return reverse("lot", args=[found.pk])


def _page(request: HttpRequest, found: Lot, **sent: Any) -> HttpResponse:
    taken = stock.used_by(found)
    page = {
        "lot": found,
        "material": found.material,
        "expired": stock.expired(found),
        "taken": taken,
        "jobs": len({each.job.pk for each in taken}),
        "count_form": CountForm(found, prefix="count"),
        "close_form": CloseForm(),
        "key": uuid4().hex,
        "journal": journal.entries(found)[:NEWEST_ENTRIES],
        "here": "",
        **sent,
    }
    return render(request, "bench/stock/lot.html", page)
