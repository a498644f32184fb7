"""The cover link: an address printed on paper, under which anyone who holds it reads the cover record.

Its token is derived from a nonce and the shop's secret key, so that it can be printed again. What is kept
is the token's plain SHA-256, which asks for no key: 256 random bits cannot be guessed from it, and papers
go on opening after the shop's key has changed.
"""

import base64
import hashlib
import re
import secrets
from hmac import compare_digest

from django.db import transaction
from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from shoprepair.cover.models import CoverLink
from shoprepair.gear.models import Inflatable
from shoprepair.shop import journal, keys
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

NONCE_BYTES = 32
_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)


def make(inflatable: Inflatable) -> CoverLink:
    """The link that papers print; made anew where there is none that a key of this shop can print again."""
    with transaction.atomic():
        # Two at the same moment would each make one: the second waits and finds the first's.
        Inflatable.objects.select_for_update().get(pk=inflatable.pk)
        if live := current(inflatable):
            return live
        link = CoverLink(inflatable=inflatable, nonce=secrets.token_urlsafe(NONCE_BYTES))
        link.token_hash, link.made_at = _hash(token(link)), timezone.now()
        link.save()
    return link


def current(inflatable: Inflatable) -> CoverLink | None:
    """The newest live link whose token a known key gives again, if there is one."""
    newest_first = _live().filter(inflatable=inflatable).order_by("-id")
    return next((link for link in newest_first if compare_digest(_hash(token(link)), link.token_hash)), None)


def token(link: CoverLink) -> str:
    """What opens the link, as the key it was made with gives it: 256 bits in 43 characters."""
    return _token(link, keys.made_with(lambda key: _hash(_token(link, key)) == link.token_hash))


def find(token_given: str) -> CoverLink | None:
    """The live link that this token opens, with its inflatable, whatever the shop's key is today."""
    if not _TOKEN.fullmatch(token_given):
        return None
    return _live().filter(token_hash=_hash(token_given)).select_related("inflatable__pattern").first()


def renew(inflatable: Inflatable, *, who: Staff) -> CoverLink:
    """Another link in place of all present ones, which no longer open."""
    with transaction.atomic():
        withdraw(inflatable, who=who)
        return make(inflatable)


def withdraw(inflatable: Inflatable, *, who: Staff) -> int:
    """Close every live link of an inflatable, also those that an older key made; how many."""
    with transaction.atomic():
        closed = _live().filter(inflatable=inflatable)
        count = closed.update(withdrawn_at=timezone.now(), withdrawn_by=who)
        if count:
            journal.record(
                inflatable, "cover-link.withdrawn", gettext("The link to its covers was withdrawn."), who=who
            )
    return count


def bring_back(inflatable: Inflatable, *, who: Staff) -> int:
    """Let the links that were closed last open again, unless there is a live one since; how many."""
    with transaction.atomic():
        every = CoverLink.objects.select_for_update().filter(inflatable=inflatable)
        last = every.exclude(withdrawn_at=None).order_by("-withdrawn_at").first()
        if last is None or every.filter(withdrawn_at=None).exists():
            return 0
        closed = CoverLink.objects.filter(inflatable=inflatable, withdrawn_at=last.withdrawn_at)
        count = closed.update(withdrawn_at=None, withdrawn_by=None)
        text = gettext("The link to its covers opens them again.")
        journal.record(inflatable, "cover-link.back", text, who=who)
    return count


def path(link: CoverLink) -> str:
    """The link's address within the shop's."""
    return reverse("cover-page", args=[token(link)])


def url(link: CoverLink, base_url: str) -> str:
    """The link's whole address, where the shop is reached at `base_url`."""
    return base_url.rstrip("/") + path(link)


def _live() -> QuerySet[CoverLink]:
    return CoverLink.objects.filter(withdrawn_at=None)


def _token(link: CoverLink, key: str) -> str:
    code = keys.code("shoprepair.cover.links.token", link.nonce, key)
    return base64.urlsafe_b64encode(code).rstrip(b"=").decode()


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
