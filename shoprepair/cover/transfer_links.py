"""The addresses under which giver and taker see a transfer, a key each; only a digest of each is kept."""

import base64
import re
import secrets
from hmac import compare_digest
from typing import Literal

from django.conf import settings
from django.db.models import Q
from django.urls import reverse

from shoprepair.cover.models import Transfer
from shoprepair.shop import keys

Side = Literal["giver", "taker"]
SIDES: tuple[Side, Side] = ("giver", "taker")
NONCE_BYTES = 32
_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)


def make(transfer: Transfer) -> None:
    """Give a transfer that is not saved yet the nonces and digests of both its keys."""
    for side in SIDES:
        setattr(transfer, f"{side}_nonce", secrets.token_urlsafe(NONCE_BYTES))
        present = settings.SECRET_KEY
        setattr(transfer, f"{side}_hash", _hash(_token(transfer, side, present), present))


def token(transfer: Transfer, side: Side) -> str:
    """What opens this side's page, as the key it was made with gives it: 256 bits in 43 characters."""
    kept = transfer.giver_hash if side == "giver" else transfer.taker_hash
    key = keys.made_with(lambda key: _hash(_token(transfer, side, key), key) == kept)
    return _token(transfer, side, key)


def find(token_given: str) -> tuple[Transfer, Side] | None:
    """The transfer that this token opens, and for which side; also one that is over."""
    if not _TOKEN.fullmatch(token_given):
        return None
    digests = [_hash(token_given, key) for key in keys.known()]
    with_all = Transfer.objects.select_related("giver", "taker", "inflatable__pattern")
    transfer = with_all.filter(Q(giver_hash__in=digests) | Q(taker_hash__in=digests)).first()
    if transfer is None:
        return None
    side: Side = "giver" if transfer.giver_hash in digests else "taker"
    return (transfer, side) if compare_digest(token(transfer, side), token_given) else None


def path(transfer: Transfer, side: Side) -> str:
    """The page's address within the shop's."""
    return reverse("passing", args=[token(transfer, side)])


def url(transfer: Transfer, side: Side, base_url: str) -> str:
    """The page's whole address, where the shop is reached at `base_url`."""
    return base_url.rstrip("/") + path(transfer, side)


def _token(transfer: Transfer, side: Side, key: str) -> str:
    nonce = transfer.giver_nonce if side == "giver" else transfer.taker_nonce
    code = keys.code("shoprepair.cover.transfer_links.token", f"{side}:{transfer.inflatable_id}:{nonce}", key)
    return base64.urlsafe_b64encode(code).rstrip(b"=").decode()


def _hash(text: str, key: str) -> str:
    return keys.code("shoprepair.cover.transfer_links.hash", text, key).hex()
