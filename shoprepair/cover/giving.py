"""Covers come about when gear is handed back: one for each repair that was agreed, done, and is covered."""

from typing import Any

from django.db import transaction

from shoprepair.cover import endings, links
from shoprepair.cover.models import Cover, Ending
from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff
from shoprepair.work.models import HandBack


@transaction.atomic
def give(hand_back: HandBack, who: Staff) -> list[Cover]:
    """The covers of a hand-back, in the order of the agreement; the same again when asked again."""
    raise NotImplementedError


@transaction.atomic
def take_back(job: Job, *, who: Staff, reason: str) -> list[Ending]:
    """End the covers of a job whose hand-back was none."""
    covers = Cover.objects.filter(job=job, ending=None).order_by("number")
    return endings.end_all(covers, Ending.Reason.NOT_HANDED_BACK, reason, who=who)


def on_handed_back(hand_back: HandBack, **_: Any) -> None:
    """Receives the signal that gear was given back."""
    links.make(hand_back.job.inflatable)


def on_taken_back(job: Job, who: Staff, reason: str, **_: Any) -> None:
    """Receives the signal that a hand-back was taken back."""
    take_back(job, who=who, reason=reason)
