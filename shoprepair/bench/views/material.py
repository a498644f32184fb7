"""One material: its lots, what went out of it, who reserves it, and when it is ordered."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django import forms
from django.contrib import messages
from django.db.models import F
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe

from shoprepair.bench.forms.stock import ReceiveForm, RuleForm
from shoprepair.bench.views.stock import strip
from shoprepair.pricing.models import Material
from shoprepair.shop import journal
from shoprepair.shop.submissions import once
from shoprepair.work import stock
from shoprepair.work.models import Lot, Use

NEWEST_USES = 20
NEWEST_LOTS = 30
NEWEST_ENTRIES = 12


@require_safe
def material(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, get_object_or_404(Material, pk=pk))


@require_POST
def receive(request: HttpRequest, pk: int) -> HttpResponse:
    """A lot comes in. Sent twice, it came in once."""
    found = get_object_or_404(Material, pk=pk)
    form = ReceiveForm(found, stock.rule_of(found), request.POST, prefix="lot")

    def act() -> str:
        said = form.cleaned_data
        lot = stock.receive(
            found,
            said["code"],
            said["quantity"],
            said["received_on"],
            said["expires_on"],
            who=request.user,
            note=said["note"],
        )
        messages.success(request, gettext("Lot %(code)s is on the shelf.") % {"code": lot.code})
        return reverse("material-stock", args=[found.pk])

    return carry_out(request, form, act, lambda: _page(request, found, receive_form=form))


@require_POST
def rule(request: HttpRequest, pk: int) -> HttpResponse:
    """When it counts as low, and how much is ordered then."""
    found = get_object_or_404(Material, pk=pk)
    form = RuleForm(found, stock.rule_of(found), request.POST, prefix="rule")

    def act() -> str:
        stock.change_rule(found, **form.cleaned_data, who=request.user)
        messages.success(request, gettext("Kept when it is ordered."))
        return reverse("material-stock", args=[found.pk])

    return carry_out(request, form, act, lambda: _page(request, found, rule_form=form))


class _Refused(ValueError):
    """The form carries what is wrong with it; its key stays free."""


def carry_out(
    request: HttpRequest, form: forms.Form, act: Callable[[], str], again: Callable[[], HttpResponse]
) -> HttpResponse:
    """Do what a form asks, once, and go where `act` says; else the page `again`, with what is wrong."""

    def checked() -> str:
        if not form.is_valid():
            raise _Refused
        return act()

    try:
        return redirect(once(request.POST.get("key", ""), request.user, checked))
    except _Refused:
        pass
    except ValueError as refused:
        form.is_valid()
        form.add_error(None, str(refused))
    page = again()
    page.status_code = 422
    return page


def _page(
    request: HttpRequest,
    found: Material,
    *,
    receive_form: ReceiveForm | None = None,
    rule_form: RuleForm | None = None,
) -> HttpResponse:
    [level], rule = stock.levels([found]), stock.rule_of(found)
    page: dict[str, Any] = {
        "material": found,
        "level": level,
        "strip": strip(level),
        "lots": stock.on_shelf([found]),
        "gone": list(_gone(found)),
        "reserved": stock.reserved_by(found),
        "uses": list(_uses(found)),
        "receive_form": receive_form or ReceiveForm(found, rule, prefix="lot"),
        "rule_form": rule_form or RuleForm(found, rule, prefix="rule"),
        "key": uuid4().hex,
        "journal": journal.entries(stock.shelf_of(found))[:NEWEST_ENTRIES],
        "here": "",
        "today": timezone.localdate(),
    }
    return render(request, "bench/stock/material.html", page)


def _gone(found: Material) -> Any:
    """Lots that nothing is taken from any more, the newest first."""
    over = Lot.objects.filter(material=found).exclude(closed=False, left__gt=0).select_related("material")
    return over.order_by(F("received_on").desc(), "-id")[:NEWEST_LOTS]


def _uses(found: Material) -> Any:
    uses = Use.objects.filter(lot__material=found, puts_back=None, put_back_by=None)
    people = ("lot", "who", "job__customer", "repair__operation", "repair__damage")
    return uses.select_related(*people).order_by("-id")[:NEWEST_USES]
