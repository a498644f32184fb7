"""A piece of gear over all its visits, its covers, and the end of its life."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from shoprepair.cover.models import Cover
from shoprepair.gear.models import Inflatable


@require_safe
def gear(request: HttpRequest, pk: int) -> HttpResponse:
    """Whose it is, what was done to it in all its visits, and what stands behind it."""
    one = get_object_or_404(Inflatable.objects.select_related("pattern"), pk=pk)
    return render(request, "counter/gear/page.html", {"gear": one})


@require_safe
def cover(request: HttpRequest, number: int) -> HttpResponse:
    """One cover opened: everything of its record."""
    one = get_object_or_404(Cover.objects.select_related("inflatable__pattern"), number=number)
    return render(request, "counter/gear/cover.html", {"cover": one})


@require_POST
def check_in(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin a visit of this gear."""
    return redirect("gear", pk)


def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """It is no longer used."""
    return redirect("gear", pk)


@require_safe
def cover_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The cover record as PDF."""
    raise Http404
