"""The status link: an address under which a customer sees a job without logging in.

Its token is derived from the row and the shop's secret key, so that it can be printed again, and
only a keyed hash of it is kept: whoever reads the database or a backup cannot open a link.
"""

import base64
import re
import secrets
from hmac import compare_digest

from django.conf import settings
from django.db import IntegrityError, transaction
from django.db.models import FilteredRelation, Q, QuerySet, Value
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs.models import Job, StatusLink
from shoprepair.shop import journal, keys
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

NONCE_BYTES = 32
_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)


def make(job: Job, *, who: Staff | None, who_name: str = "") -> StatusLink:
    """The job's live link; made anew where there is none."""
    if live := current(job):
        return live
    try:
        with transaction.atomic():
            link = StatusLink(job=job, nonce=secrets.token_urlsafe(NONCE_BYTES), made_by=who)
            link.token_hash, link.made_at = _hash(token(link), settings.SECRET_KEY), timezone.now()
            link.save()
            text = gettext("A status link was made for the customer.")
            journal.record(job, "link.made", text, who=who, who_name=who_name)
            return link
    except IntegrityError:
        # Somebody else made one at the same moment: there is one live link per job.
        if live := current(job):
            return live
        raise


def renew(job: Job, *, who: Staff) -> StatusLink:
    """Another link in place of the present one, which no longer opens."""
    with transaction.atomic():
        if live := current(job):
            withdraw(live, who=who)
        return make(job, who=who)


def withdraw(link: StatusLink, *, who: Staff) -> StatusLink:
    """Close a link; whoever opens it finds what any unknown address shows, until it is brought back."""
    with transaction.atomic():
        live = StatusLink.objects.filter(pk=link.pk, withdrawn_at=None)
        if live.update(withdrawn_at=timezone.now(), withdrawn_by=who):
            journal.record(link.job, "link.withdrawn", gettext("The status link was withdrawn."), who=who)
    link.refresh_from_db(fields=("withdrawn_at", "withdrawn_by"))
    return link


def bring_back(link: StatusLink, *, who: Staff) -> StatusLink:
    """Let a link that was withdrawn open the job again; where another is live, that one stays."""
    if live := current(link.job):
        return live
    with transaction.atomic():
        closed = StatusLink.objects.filter(pk=link.pk).exclude(withdrawn_at=None)
        if closed.update(withdrawn_at=None, withdrawn_by=None):
            text = gettext("The status link opens the job again.")
            journal.record(link.job, "link.back", text, who=who)
    link.refresh_from_db(fields=("withdrawn_at", "withdrawn_by"))
    return link


def read_with(jobs: QuerySet[Job]) -> QuerySet[Job]:
    """Read each job's live link with it, for pages: `current` then asks no more."""
    live = FilteredRelation("status_links", condition=Q(status_links__withdrawn_at=None))
    return jobs.annotate(live_link=live, link_is_read=Value(True)).select_related("live_link__made_by")  # type: ignore[misc]


def current(job: Job) -> StatusLink | None:
    """The job's live link, if it has one."""
    if "link_is_read" in vars(job):
        return vars(job).get("live_link")
    return StatusLink.objects.select_related("made_by").filter(job=job, withdrawn_at=None).first()


def token(link: StatusLink) -> str:
    """What opens the link, as the key it was made with gives it: 256 bits in 43 characters."""
    return _token(link, keys.made_with(lambda key: _hash(_token(link, key), key) == link.token_hash))


def find(token_given: str) -> StatusLink | None:
    """The live link that this token opens, with its job. One that was withdrawn is as if it never was."""
    if not _TOKEN.fullmatch(token_given):
        return None
    hashes = [_hash(token_given, key) for key in keys.known()]
    live = StatusLink.objects.filter(token_hash__in=hashes, withdrawn_at=None)
    link = live.select_related("job__customer", "job__inflatable__pattern").first()
    return link if link and compare_digest(token(link), token_given) else None


def path(link: StatusLink) -> str:
    """The link's address within the shop's."""
    return reverse("status", args=[token(link)])


def url(link: StatusLink, base_url: str) -> str:
    """The link's whole address, where the shop is reached at `base_url`."""
    return base_url.rstrip("/") + path(link)


def _token(link: StatusLink, key: str) -> str:
    code = keys.code("shoprepair.jobs.links.token", f"{link.job_id}:{link.nonce}", key)
    return base64.urlsafe_b64encode(code).rstrip(b"=").decode()


def _hash(text: str, key: str) -> str:
    return keys.code("shoprepair.jobs.links.hash", text, key).hex()
