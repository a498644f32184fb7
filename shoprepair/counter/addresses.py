"""Addresses that the shop prints as codes, read by a scanner or pasted: which page of the shop they mean."""

import re
from typing import NamedTuple

from django.urls import Resolver404, ResolverMatch, resolve, reverse

from shoprepair.cover import links as cover_links
from shoprepair.cover import transfers
from shoprepair.jobs import links as status_links
from shoprepair.shop.languages import gettext_lazy

OPENS_NOTHING = gettext_lazy(
    "This code opens nothing: it was withdrawn, is not from this shop, or was not read whole. "
    "Search by the serial or the name instead."
)
_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)
_ADDRESS = re.compile(r"/(?:[cos]/[A-Za-z0-9_-]+|(?:jobs|gear|covers)/\d{1,9})(?=[/?#\s]|$)", re.ASCII)
_PLAIN = ("job", "gear", "cover-one")


class Read(NamedTuple):
    """What an address came to: the page that it means, or what is wrong with it."""

    leads_to: str = ""
    trouble: str = ""


def read(text: str) -> Read | None:
    """The page that an address, or the key at its end, stands for; None where the text is neither."""
    key = _TOKEN.fullmatch(text)
    address = f"/c/{text}" if key else _address(text)
    if not address:
        return None
    try:
        found = resolve(f"{address}/")
    except Resolver404:
        return None
    return _meant(found, text if key else "")


def _address(text: str) -> str:
    found = _ADDRESS.search(text)
    return found.group() if found else ""


def _meant(found: ResolverMatch, key: str) -> Read | None:
    if found.url_name in _PLAIN:
        return Read(reverse(found.url_name, kwargs=found.kwargs))
    token = found.kwargs["token"]
    if (key or found.url_name == "cover-page") and (cover := cover_links.find(token)):
        return Read(reverse("gear", args=[cover.inflatable_id]))
    if (key or found.url_name == "status") and (status := status_links.find(token)):
        return Read(status.job.get_absolute_url())
    if (key or found.url_name == "passing") and (passing := transfers.find(token)):
        return Read(reverse("transfer", args=[passing[0].pk]))
    # A word of 43 letters may be anything.
    return None if key else Read(trouble=OPENS_NOTHING)
