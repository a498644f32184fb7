"""The page of one side of a transfer. Opening it changes nothing; agreeing is an act of its own."""

from collections.abc import Callable, Container
from dataclasses import replace
from functools import wraps
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.safestring import SafeString
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.cover import transfer_links, transfer_words, transfers
from shoprepair.cover.models import Transfer
from shoprepair.cover.reading import UnreadableRecord
from shoprepair.cover.transfers import TransferRefused
from shoprepair.gear import diagram
from shoprepair.gear.describe import planform
from shoprepair.papers import cover_words
from shoprepair.papers.cover_drawing import drawing
from shoprepair.papers.cover_words import Told
from shoprepair.portal.guard import TOO_OLD, from_our_form, keyed, missed
from shoprepair.portal.page import base_url
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import units_for

TAG = "#cover-"
AGREE, REFUSE = "agree", "refuse"
NOT_CHOSEN = gettext_lazy("Nothing was sent yet: press one of the two buttons below.")


def by_key(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Give a view the transfer and the side that the token opens; an unknown one answers as any other."""

    @wraps(view)
    def opened(request: HttpRequest, token: str) -> HttpResponse:
        found = transfers.find(token)
        return view(request, *found) if found else missed(request)

    return keyed(opened)


@by_key
@require_safe
def passing(request: HttpRequest, transfer: Transfer, side: transfers.Side) -> HttpResponse:
    """Which gear, what passes with it, on what terms, and who has agreed."""
    return _page(request, transfer, side)


@by_key
@require_http_methods(["GET", "HEAD", "POST"])
def answer(request: HttpRequest, transfer: Transfer, side: transfers.Side) -> HttpResponse:
    """Take this side's yes or no; one that cannot be taken comes back with the reason."""
    back = transfer_links.path(transfer, side)
    if request.method != "POST":
        return redirect(back)
    if not from_our_form(request):
        return _page(request, transfer, side, status=403, trouble=TOO_OLD)
    act = request.POST.get("act", "")
    if act not in (AGREE, REFUSE):
        return _page(request, transfer, side, status=422, trouble=NOT_CHOSEN)
    try:
        # What is kept of it is read by the shop.
        with translation.override(request.shop.language):
            _take(request, transfer, side, act)
    except TransferRefused as refusal:
        found = transfers.find(transfer_links.token(transfer, side))
        stands = found[0] if found else transfer
        if _said_before(stands, side, act):
            return redirect(f"{back}#answer")
        return _page(request, stands, side, status=409, trouble=str(refusal))
    return redirect(f"{back}#answer")


@keyed
def unknown(request: HttpRequest, **_rest: str) -> HttpResponse:
    """Any other address that begins as a transfer's does."""
    return missed(request)


def _take(request: HttpRequest, transfer: Transfer, side: transfers.Side, act: str) -> None:
    if act == REFUSE:
        transfers.end(transfer, side)
        return
    shown = request.POST.get("shown", "")
    transfers.agree(transfer, side, Transfer.How.LINK, shown=shown, base_url=base_url(request))


def _said_before(transfer: Transfer, side: transfers.Side, act: str) -> bool:
    """Whether this very answer is on record already, as a second tap gives it."""
    if act == REFUSE:
        return transfer.ended_by == side
    return transfers.agreed(transfer, side) is not None and not transfer.ended_at


def _page(
    request: HttpRequest, transfer: Transfer, side: transfers.Side, *, status: int = 200, **shown: Any
) -> HttpResponse:
    other: transfers.Side = "taker" if side == "giver" else "giver"
    context = {
        "transfer": transfer,
        "state": transfers.state(transfer),
        "obstacle": transfers.obstacle(transfer),
        "side": side,
        "token": transfer_links.token(transfer, side),
        "me": transfers.party(transfer, side),
        "other": transfers.party(transfer, other),
        "agreed": transfers.agreed(transfer, side),
        "other_agreed": transfers.agreed(transfer, other),
        "visits": transfers.open_jobs(transfer.inflatable),
        **_covers(request, transfer),
        **shown,
    }
    return render(request, "portal/passing.html", context, status=status)


def _covers(request: HttpRequest, transfer: Transfer) -> dict[str, Any]:
    """The covers in words and on the drawing; where a record was spoilt, that alone."""
    try:
        covers = transfer_words.of(transfer)
    except UnreadableRecord:
        return {"unreadable": True, "drawing": _bare(transfer)}
    zone, units = ZoneInfo(request.shop.time_zone), units_for(None, request.shop)
    told = cover_words.told(transfer.inflatable, units, zone, timezone.localdate())
    shown = _only(told, covers.tags)
    return {"covers": covers, "drawing": drawing(shown, link=TAG, ended=True) or _bare(transfer)}


def _only(told: Told, tags: Container[int]) -> Told:
    """Without the covers that no side is asked about; a former owner sees nothing of later visits."""
    visits = [
        visit._replace(covers=tuple(cover for cover in visit.covers if cover.tag in tags))
        for visit in told.visits
    ]
    records = [cover.record for visit in visits for cover in visit.covers if cover.record]
    return replace(told, visits=tuple(visits), newest=records[-1] if records else None)


def _bare(transfer: Transfer) -> SafeString:
    """The gear alone."""
    pattern = transfer.inflatable.pattern
    return diagram.draw(planform(pattern), title=str(pattern), unique="gear")
