"""A later damage held against the covers of its gear: what it meets, what is proposed, what is decided."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import QuerySet

from shoprepair.cover.models import Claim, Cover
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.models import Staff

if TYPE_CHECKING:
    from shoprepair.cover.evidence import Evidence
    from shoprepair.cover.meeting import Meeting
    from shoprepair.cover.proposal import Proposal
    from shoprepair.cover.reading import Record


class ClaimRefused(ValueError):
    """It cannot be held against a cover, or not be decided; the message says why, and what to do."""


@dataclass(frozen=True, slots=True)
class Met:
    """One cover beside a later damage: where they meet, and what speaks for and against."""

    cover: Cover
    record: "Record"
    meeting: "Meeting"
    evidence: tuple["Evidence", ...]


def meetings(damage: Damage, over_pressure: str = "not said") -> list[Met]:
    """Every footprint of the gear's covers beside this damage, the nearest first."""
    raise NotImplementedError


def proposed(damage: Damage, over_pressure: str = "not said") -> "Proposal":
    """What the rules propose for this damage, with their reasons."""
    raise NotImplementedError


def hold_against(
    damage: Damage, cover: Cover | None = None, *, over_pressure: str = "not said", who: Staff
) -> Claim:
    """Hold a damage against a cover; without one, against the cover that decides. Raises ClaimRefused."""
    raise NotImplementedError


def decide(claim: Claim, decision: str, words: str, *, who: Staff, version: int) -> Claim:
    """Write the owner's decision down: "ours" or "new", with words. Raises ClaimRefused and Stale."""
    raise NotImplementedError


def reopen(claim: Claim, reason: str, *, who: Staff) -> Claim:
    """Take a decision back, so that it is decided anew. Raises ClaimRefused."""
    raise NotImplementedError


def of(job: Job) -> QuerySet[Claim]:
    """The claims of a visit, in order."""
    return Claim.objects.filter(job=job).select_related("cover", "damage", "decided_by", "remedy")


def waiting() -> QuerySet[Claim]:
    """The claims that the owner has still to decide, the oldest first."""
    return Claim.objects.filter(decision=Claim.Decision.OPEN).order_by("made_at", "id")


def against(cover: Cover) -> QuerySet[Claim]:
    """The claims held against a cover, in order."""
    return Claim.objects.filter(cover=cover).select_related("job", "damage", "decided_by", "remedy")
