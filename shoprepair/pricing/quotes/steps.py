"""One change of a quote at a time: made if nobody changed it meanwhile, counted and journalled.

Each step of a quote's version has one entry in the quote's own journal, so that whoever comes too late
can be told what happened since they looked.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import transaction
from django.db.models import F

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.languages import begun_small
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext


class NotADraft(ValueError):
    """Only a draft can be changed; what is out stands as it was sent."""


def subject(quote: Quote) -> str:
    """What the journal calls a quote. Its number counts within the job and would name many."""
    return f"quote:{quote.pk}"


def lock(job: Job) -> Job:
    """The job as it stands, held until the transaction ends: what happens to its quotes happens in turn."""
    return Job.objects.select_for_update().get(pk=job.pk)


@contextmanager
def editing(quote: Quote, version: int) -> Iterator[Quote]:
    """The draft as it stands, to be changed and then `written`; the quote given is brought up to date.

    Raises NotADraft when it is out, and Stale when somebody changed it since `version`.
    """
    with transaction.atomic():
        lock(quote.job)
        fresh = Quote.objects.select_related("job").filter(pk=quote.pk).first()
        if fresh is None:
            raise NotADraft(gettext("This draft was thrown away meanwhile. Begin a new one."))
        if fresh.version != version and fresh.state == Quote.State.DRAFT:
            raise Stale(
                gettext("quote %(number)s") % {"number": fresh.number}, fresh, meanwhile(fresh, version)
            )
        if fresh.state != Quote.State.DRAFT:
            raise NotADraft(_not_a_draft(fresh, version))
        yield fresh
    if fresh.pk:
        quote.refresh_from_db()


def written(
    quote: Quote,
    verb: str,
    text: str,
    *,
    who: Staff | None,
    who_name: str = "",
    changes: dict[str, list[Any]] | None = None,
    **values: Any,
) -> Quote:
    """Write values to a quote that nobody has changed since it was read, and say so in its journal.

    Raises Stale when somebody has.
    """
    same = Quote.objects.filter(pk=quote.pk, version=quote.version, state=quote.state)
    if not same.update(version=F("version") + 1, **values):
        now = Quote.objects.get(pk=quote.pk)
        raise Stale(
            gettext("quote %(number)s") % {"number": quote.number}, now, meanwhile(now, quote.version)
        )
    journal.record(subject(quote), verb, text, who=who, who_name=who_name, changes=changes)
    quote.refresh_from_db()
    return quote


def meanwhile(quote: Quote, version: int) -> list[str]:
    """What happened to a quote since that version: who did what, from what to what, a sentence each."""
    steps = max(quote.version - version, 0)
    entries = reversed(journal.entries(subject(quote))[:steps])
    return [f"{entry.who_name} {begun_small(journal.words(entry))}" for entry in entries]


def _not_a_draft(quote: Quote, version: int) -> str:
    told = " ".join(meanwhile(quote, version)[-1:])
    stands = gettext("Quote %(number)s is no longer a draft and cannot be changed.") % {
        "number": quote.number
    }
    return " ".join(filter(None, [stands, told, gettext("Write a new version.")]))
