"""Gear that passes to a new owner: who gets it, what goes along, and who has agreed."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.contact import base_url
from shoprepair.counter.forms.customers import CustomerForm
from shoprepair.counter.forms.fields import refuse
from shoprepair.counter.keys import new_key
from shoprepair.counter.transfer_page import offer_page, transfer_page
from shoprepair.cover import transfers
from shoprepair.cover.models import Transfer
from shoprepair.cover.transfers import TransferRefused
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import checkin, ownership
from shoprepair.jobs.doubles import likely_doubles
from shoprepair.jobs.models import Customer
from shoprepair.shop.submissions import once


class _Alike(Exception):
    """Somebody much like the new customer is in the books."""

    def __init__(self, doubles: list[Customer]) -> None:
        super().__init__()
        self.doubles = doubles


@require_http_methods(["GET", "HEAD", "POST"])
@vary_on_headers("HX-Request")
def offer(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose who gets it, see what that means, and put it before both sides."""
    gear = _gear(pk)
    if request.method == "POST":
        return _offer(request, gear)
    if waits := transfers.current(gear):
        return redirect("transfer", waits.pk)
    return _offer_page(request, gear, taker=_customer(request.GET.get("taker", "")))


@require_http_methods(["GET", "HEAD", "POST"])
def customer(request: HttpRequest, pk: int) -> HttpResponse:
    """A new owner who is new to the shop. Somebody much like them is asked about first."""
    gear = _gear(pk)
    if request.method != "POST":
        form = CustomerForm(initial={name: request.GET.get(name, "") for name in CustomerForm.base_fields})
        return _customer_page(request, gear, form)
    form = CustomerForm(request.POST)
    if not form.is_valid():
        return _customer_page(request, gear, form, status=422)
    said = form.cleaned_data

    def add() -> str:
        # Asked here, so that the form sent again does not meet the customer it has just added.
        if "sure" not in request.POST and (
            doubles := likely_doubles(said["name"], said["phone"], said["email"])
        ):
            raise _Alike(doubles)
        return _with_taker(gear, checkin.add_customer(who=request.user, **said))

    try:
        return redirect(once(request.POST.get("key", ""), request.user, add))
    except _Alike as alike:
        return _customer_page(request, gear, form, status=422, doubles=alike.doubles)
    except ValidationError as error:
        refuse(form, error.message_dict)
        return _customer_page(request, gear, form, status=422)


@require_safe
def transfer(request: HttpRequest, pk: int) -> HttpResponse:
    """How a transfer stands, and the way to both sides."""
    return _page(request, _fetch(pk))


@require_POST
def agree(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down that one side agreed here, in person."""
    found, side = _fetch(pk), request.POST.get("side", "")
    if side not in transfers.SIDES:
        return _page(request, found, status=422, refused=gettext("Choose which of the two agreed."))
    try:
        done = transfers.agree(
            found,
            side,
            Transfer.How.PERSON,
            who=request.user,
            shown=request.POST.get("shown"),
            base_url=base_url(request),
        )
    except TransferRefused as refusal:
        return _page(request, _fetch(pk), status=422, refused=str(refusal))
    name = transfers.party(done, side)
    told = (
        gettext("It is done: the gear belongs to %(taker)s.") % {"taker": done.taker}
        if done.done_at
        else gettext("%(name)s has agreed.") % {"name": name}
    )
    messages.success(request, told)
    return redirect("transfer", pk)


@require_POST
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """Call it off, or write down that a side refused it here."""
    by = request.POST.get("by", "shop")
    if by not in (*transfers.SIDES, "shop"):
        return _page(
            request, _fetch(pk), status=422, refused=gettext("Choose who ends it: a side, or the shop.")
        )
    try:
        transfers.end(_fetch(pk), by, who=request.user)
    except TransferRefused as refusal:
        return _page(request, _fetch(pk), status=422, refused=str(refusal))
    messages.success(request, gettext("Nothing passes: the gear and its covers stay as they were."))
    return redirect("transfer", pk)


def _offer(request: HttpRequest, gear: Inflatable) -> HttpResponse:
    taker, note = _customer(request.POST.get("taker", "")), request.POST.get("note", "").replace("\0", "")
    if taker is None:
        return _offer_page(request, gear, status=422, refused=gettext("Choose who gets it."))

    def do() -> str:
        made = transfers.offer(gear, taker, who=request.user, note=note, base_url=base_url(request))
        return reverse("transfer", args=[made.pk])

    try:
        return redirect(once(request.POST.get("key", ""), request.user, do))
    except TransferRefused as refusal:
        return _offer_page(request, gear, taker=taker, note=note, status=422, refused=str(refusal))


def _offer_page(
    request: HttpRequest, gear: Inflatable, *, taker: Customer | None = None, status: int = 200, **more: Any
) -> HttpResponse:
    context = {**offer_page(request, gear, taker), **more}
    part = "#found" if request.htmx and request.method == "GET" else ""
    return render(request, f"counter/transfer/offer.html{part}", context, status=status)


def _customer_page(
    request: HttpRequest, gear: Inflatable, form: CustomerForm, *, status: int = 200, doubles: Any = ()
) -> HttpResponse:
    here = [{"customer": one, "address": _with_taker(gear, one)} for one in doubles]
    context = {
        "gear": gear,
        "giver": ownership.owner(gear),
        "form": form,
        "doubles": here,
        "key": request.POST.get("key") or new_key(),
    }
    return render(request, "counter/transfer/customer.html", context, status=status)


def _page(request: HttpRequest, found: Transfer, *, status: int = 200, refused: str = "") -> HttpResponse:
    context = {**transfer_page(request, found), "refused": refused}
    return render(request, "counter/transfer/page.html", context, status=status)


def _with_taker(gear: Inflatable, taker: Customer) -> str:
    return f"{reverse('transfer-offer', args=[gear.pk])}?{urlencode({'taker': taker.pk})}"


def _gear(pk: int) -> Inflatable:
    return get_object_or_404(Inflatable.objects.select_related("pattern"), pk=pk)


def _fetch(pk: int) -> Transfer:
    with_all = Transfer.objects.select_related("giver", "taker", "inflatable__pattern", "offered_by")
    return get_object_or_404(with_all, pk=pk)


def _customer(typed: str) -> Customer | None:
    is_key = typed.isascii() and typed.isdecimal() and len(typed) < 10
    return Customer.objects.filter(pk=typed).first() if is_key else None
