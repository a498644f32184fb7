"""The addresses under which giver and taker see a transfer, a key each; only a digest of each is kept."""

import base64
import re
import secrets
from hmac import compare_digest
from typing import Literal

from django.db.models import Q
from django.urls import reverse
from django.utils.crypto import salted_hmac

from shoprepair.cover.models import Transfer

Side = Literal["giver", "taker"]
SIDES: tuple[Side, Side] = ("giver", "taker")
NONCE_BYTES = 32
_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)


def make(transfer: Transfer) -> None:
    """Give a transfer that is not saved yet the nonces and digests of both its keys."""
    for side in SIDES:
        setattr(transfer, f"{side}_nonce", secrets.token_urlsafe(NONCE_BYTES))
        setattr(transfer, f"{side}_hash", _hash(token(transfer, side)))


def token(transfer: Transfer, side: Side) -> str:
    """What opens this side's page: 256 bits in 43 characters that an address takes as they are."""
    nonce = transfer.giver_nonce if side == "giver" else transfer.taker_nonce
    said = f"{side}:{transfer.inflatable_id}:{nonce}"
    code = salted_hmac("shoprepair.cover.transfer_links.token", said, algorithm="sha256")
    return base64.urlsafe_b64encode(code.digest()).rstrip(b"=").decode()


def find(token_given: str) -> tuple[Transfer, Side] | None:
    """The transfer that this token opens, and for which side; also one that is over."""
    if not _TOKEN.fullmatch(token_given):
        return None
    digest = _hash(token_given)
    with_all = Transfer.objects.select_related("giver", "taker", "inflatable__pattern")
    transfer = with_all.filter(Q(giver_hash=digest) | Q(taker_hash=digest)).first()
    if transfer is None:
        return None
    side: Side = "giver" if transfer.giver_hash == digest else "taker"
    return (transfer, side) if compare_digest(token(transfer, side), token_given) else None


def path(transfer: Transfer, side: Side) -> str:
    """The page's address within the shop's."""
    return reverse("passing", args=[token(transfer, side)])


def url(transfer: Transfer, side: Side, base_url: str) -> str:
    """The page's whole address, where the shop is reached at `base_url`."""
    return base_url.rstrip("/") + path(transfer, side)


def _hash(text: str) -> str:
    return salted_hmac("shoprepair.cover.transfer_links.hash", text, algorithm="sha256").hexdigest()
