"""Covers come about when gear is handed back: one for each repair that was agreed, done, and is covered."""

from typing import Any

from django.db import transaction

from shoprepair.cover import chain, endings, links, record, replacing
from shoprepair.cover.covered import Covered, covered
from shoprepair.cover.models import Cover, Ending
from shoprepair.cover.reading import read_text
from shoprepair.cover.visit import Visit, visit
from shoprepair.jobs.models import Job
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work.models import HandBack


@transaction.atomic
def give(hand_back: HandBack, who: Staff) -> list[Cover]:
    """The covers of a hand-back, in the order of the agreement; the same again when asked again."""
    lock(hand_back.job)
    if already := list(Cover.objects.filter(hand_back=hand_back)):
        return already
    lines = covered(hand_back.job)
    if not lines:
        return []
    shared = visit(hand_back)
    given = [_give(line, shared, hand_back) for line in lines]
    replacing.end_replaced(given, who)
    links.make(hand_back.job.inflatable)
    journal.record(hand_back.job, "cover.given", _told(given), who=who)
    return given


@transaction.atomic
def take_back(job: Job, *, who: Staff, reason: str) -> list[Ending]:
    """End the covers of a job whose hand-back was none."""
    covers = Cover.objects.filter(job=job, ending=None).order_by("number")
    return endings.end_all(covers, Ending.Reason.NOT_HANDED_BACK, reason, who=who)


def on_handed_back(hand_back: HandBack, who: Staff, **_: Any) -> None:
    """Receives the signal that gear was given back."""
    give(hand_back, who)


def on_taken_back(job: Job, who: Staff, reason: str, **_: Any) -> None:
    """Receives the signal that a hand-back was taken back."""
    take_back(job, who=who, reason=reason)


def _give(line: Covered, shared: Visit, hand_back: HandBack) -> Cover:
    number, previous = chain.next_link()
    contents = record.contents(line, shared, number)
    return Cover.objects.create(
        hand_back=hand_back,
        contents=contents,
        previous=previous,
        digest=record.digest(previous, contents),
        inflatable_id=shared.job.inflatable_id,
        job=shared.job,
        **chain.columns(read_text(contents)),
    )


def _told(given: list[Cover]) -> str:
    if len(given) == 1:
        return gettext("Cover %(given)s was given for its repair: %(operation_name)s.") % {
            "given": given[0],
            "operation_name": given[0].operation_name,
        }
    names = ", ".join(dict.fromkeys(cover.operation_name for cover in given))
    words = (
        gettext("Covers %(given)s and %(given_2)s were given for its repairs: %(names)s.")
        if len(given) == 2
        else gettext("Covers %(given)s to %(given_2)s were given for its repairs: %(names)s.")
    )
    return words % {"given": given[0], "given_2": given[-1], "names": names}
