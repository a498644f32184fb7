"""What the counter sees of gear that passes on: the offer before it is made, and the transfer after."""

from datetime import datetime
from typing import Any, NamedTuple

from django.http import HttpRequest

from shoprepair.counter.contact import base_url
from shoprepair.counter.keys import new_key
from shoprepair.cover import endings, transfer_links, transfer_words, transfers
from shoprepair.cover.models import Transfer
from shoprepair.cover.reading import UnreadableRecord
from shoprepair.cover.transfers import Side
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import ownership, search
from shoprepair.jobs.models import Customer
from shoprepair.papers.marks import qr
from shoprepair.shop import outbox

SHOWN = 12


class Party(NamedTuple):
    """One side of a transfer: who, whether they agreed, and their own page."""

    side: Side
    customer: Customer
    agreed_at: datetime | None
    how: str
    address: str
    code: str
    """QR of the address, as SVG; empty where nothing is to be answered any more."""


def offer_page(request: HttpRequest, gear: Inflatable, taker: Customer | None) -> dict[str, Any]:
    """Who may get it, and with somebody chosen what goes along."""
    text = request.GET.get("q", "").strip()[:100]
    giver = ownership.owner(gear)
    found = [one for one in search.find(text, limit=SHOWN + 2) if one.customer != giver] if text else []
    return {
        "gear": gear,
        "giver": giver,
        "taker": taker,
        "same": taker is not None and taker == giver,
        "retired": endings.is_retired(gear),
        "text": text,
        "found": found[:SHOWN],
        "is_more": len(found) > SHOWN,
        "prefill": _prefill(text),
        "visits": transfers.open_jobs(gear),
        "key": new_key(),
        **(_proposed(gear) if taker else {}),
    }


def transfer_page(request: HttpRequest, transfer: Transfer) -> dict[str, Any]:
    """Both sides with their pages, what passes, the letters."""
    return {
        "transfer": transfer,
        "gear": transfer.inflatable,
        "state": transfers.state(transfer),
        "obstacle": transfers.obstacle(transfer),
        "parties": [_party(request, transfer, side) for side in transfers.SIDES],
        "visits": transfers.open_jobs(transfer.inflatable),
        "letters": outbox.letters(transfer),
        **_covers(transfer),
    }


def _party(request: HttpRequest, transfer: Transfer, side: Side) -> Party:
    agreed = transfers.agreed(transfer, side)
    how = transfer.giver_how if side == "giver" else transfer.taker_how
    address = transfer_links.url(transfer, side, base_url(request))
    waits = transfers.state(transfer) == "open" and not agreed
    return Party(
        side=side,
        customer=transfers.party(transfer, side),
        agreed_at=agreed,
        how=Transfer.How(how).label if how else "",
        address=address,
        code=qr(address) if waits else "",
    )


def _proposed(gear: Inflatable) -> dict[str, Any]:
    try:
        return {"covers": transfer_words.proposed(transfers.passing(gear))}
    except UnreadableRecord:
        return {"unreadable": True}


def _covers(transfer: Transfer) -> dict[str, Any]:
    try:
        return {"covers": transfer_words.of(transfer)}
    except UnreadableRecord:
        return {"unreadable": True}


def _prefill(text: str) -> dict[str, str]:
    """What was searched for in vain, as the field of a new customer that it most likely is."""
    if "@" in text:
        return {"email": text}
    digits = sum(letter.isdigit() for letter in text)
    return {"phone" if digits > len(text) / 2 else "name": text} if text else {}
