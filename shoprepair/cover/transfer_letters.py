"""The letters to both sides of a transfer: that it was offered, and that it is done."""

from functools import partial

from shoprepair.cover import transfer_links
from shoprepair.cover.models import Transfer
from shoprepair.cover.transfer_links import SIDES, Side
from shoprepair.shop import outbox, settings

OFFERED = "transfer-offered"


def write(transfer: Transfer, code: str, base_url: str) -> None:
    """Write to each side that has an e-mail address, in the caller's transaction."""
    for side in SIDES:
        customer = transfer.giver if side == "giver" else transfer.taker
        if customer.email:
            outbox.write(customer.email, code, partial(_context, transfer, side, base_url), about=transfer)


def _context(transfer: Transfer, side: Side, base_url: str) -> dict[str, str]:
    address = base_url or settings.current().web_address
    mine, other = transfer.giver, transfer.taker
    if side == "taker":
        mine, other = other, mine
    return {
        "customer": mine.name,
        "other": other.name,
        "giver": transfer.giver.name,
        "taker": transfer.taker.name,
        "gear": str(transfer.inflatable),
        "link": transfer_links.url(transfer, side, address) if address else "",
    }
