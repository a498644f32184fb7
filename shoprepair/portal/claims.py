"""What the customer reads of damages that are held against an earlier repair."""

from typing import NamedTuple

from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.cover import claim_letter, claim_words, claims
from shoprepair.cover.models import Claim
from shoprepair.cover.reading import read
from shoprepair.jobs import links
from shoprepair.jobs.models import Job
from shoprepair.jobs.words import damage_title
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units

OPEN = gettext_lazy(
    "We hold it against our own repair. The owner of the shop decides, and you read here what and why."
)
WORDS = {
    Claim.Decision.OURS: gettext_lazy("It is ours"),
    Claim.Decision.NEW: gettext_lazy("It is a new damage"),
}


class Said(NamedTuple):
    """One damage held against a repair: what it is, which repair, what was decided in which words."""

    number: int
    what: str
    repair: str
    repaired_on: str
    decision: str
    """Empty while it is open; "ours" or "new"."""
    heading: str
    meaning: str
    words: str
    by: str
    decided_on: str
    mended_by: str
    """Number of the other job that mends it; empty where this one does."""
    address: str
    """Of that job's page."""


def said(job: Job, units: Units) -> list[Said]:
    """Every claim that concerns a job, the decided ones with the owner's words."""
    return [_said(claim, job, units) for claim in claims.concerning(job)]


def _said(claim: Claim, job: Job, units: Units) -> Said:
    claim.damage.job = claim.job
    record, decision = read(claim.cover), Claim.Decision(claim.decision)
    elsewhere = claim.remedy if claim.remedy_id and claim.remedy_id != job.pk else None
    link = links.current(elsewhere) if elsewhere else None
    return Said(
        number=claim.damage.number,
        what=damage_title(claim.damage, units),
        repair=record.repair.name,
        repaired_on=claim_words.day(timezone.localdate(record.given_at)),
        decision=decision.value,
        heading=WORDS.get(decision, gettext("It waits for the owner")),
        meaning=claim_letter.DECIDED.get(decision, OPEN),
        words=claim.words,
        by=str(claim.decided_by or "") if claim.decided_at else "",
        decided_on=claim_words.day(timezone.localdate(claim.decided_at)) if claim.decided_at else "",
        mended_by=str(elsewhere or ""),
        address=links.path(link) if link else "",
    )
