"""A later damage held against the covers of its gear: what it meets, what is proposed, what is decided."""

from typing import Any

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

from shoprepair.cover import claim_letter, comparing, ours, refusals, standing
from shoprepair.cover.comparing import Comparison, Met
from shoprepair.cover.models import Claim, Cover
from shoprepair.cover.proposal import Proposal
from shoprepair.cover.refusals import ClaimRefused
from shoprepair.jobs.conversation import NotSaid, clean_text
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import Answer
from shoprepair.pricing.quotes.steps import lock
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.languages import begun_small, gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.shop.numbers import next_number
from shoprepair.shop.said import gettext

__all__ = [
    "ClaimRefused",
    "Met",
    "Stale",
    "against",
    "compare",
    "decide",
    "drop",
    "hold_against",
    "meetings",
    "of",
    "proposed",
    "pumped",
    "reopen",
    "waiting",
]
Decision = Claim.Decision
_DECIDED = {Decision.OURS: gettext_lazy("ours to mend"), Decision.NEW: gettext_lazy("a new damage")}
_WITH = ("cover__ending", "damage", "job__customer", "job__inflatable__pattern", "decided_by", "remedy")


def meetings(damage: Damage, over_pressure: str = Answer.UNKNOWN) -> list[Met]:
    """Every cover of the gear beside this damage, the nearest first."""
    return list(comparing.compare(damage, over_pressure).met)


def proposed(damage: Damage, over_pressure: str = Answer.UNKNOWN) -> Proposal:
    """What the rules propose for this damage, with their reasons."""
    return comparing.compare(damage, over_pressure).proposal


def compare(claim: Claim) -> Comparison:
    """What the owner decides on; of a decided claim what it was decided on."""
    claim.damage.job = claim.job
    if claim.decision == Decision.OPEN and refusals.described(claim.damage):
        return comparing.compare(claim.damage, over_pressure_of(claim))
    return comparing.seen_again(claim.seen, standing.of(claim.job.inflatable))


def over_pressure_of(claim: Claim) -> str:
    """What was said of over-pressure: yes, no, or not said."""
    return str(claim.seen["later"]["over_pressure"])


@transaction.atomic
def hold_against(
    damage: Damage, cover: Cover | None = None, *, over_pressure: str = Answer.UNKNOWN, who: Staff
) -> Claim:
    """Hold a damage against a cover; without one, against the one that the proposal speaks of.

    Raises ClaimRefused.
    """
    job = lock(damage.job)
    held = Damage.objects.select_related("job__customer", "job__inflatable__pattern").get(pk=damage.pk)
    if refusal := refusals.before_holding(held):
        raise refusal
    found = comparing.compare(held, over_pressure)
    deciding = found.of(cover.number) if cover else found.deciding
    if cover and (refusal := refusals.of_cover(cover, held)):
        raise refusal
    if deciding is None:
        raise ClaimRefused(_NOTHING_THERE.format(gear=held.job.inflatable), "cover")
    if refusal := refusals.of_cover(deciding.cover, held):
        raise refusal
    claim = Claim.objects.create(
        number=next_number("claim"),
        cover=deciding.cover,
        damage=held,
        job=job,
        proposal=found.proposal.kind,
        seen=comparing.seen(found),
        made_by=who,
        made_at=timezone.now(),
    )
    told = gettext("Damage %(number)s was held against cover %(cover)s, as claim %(claim)s.") % {
        "number": held.number,
        "cover": claim.cover,
        "claim": claim,
    }
    _journal(claim, "claim.held", told, who)
    return claim


@transaction.atomic
def pumped(claim: Claim, answer: str, *, who: Staff, version: int) -> Claim:
    """Say whether the gear was pumped above its rating; what speaks for and against is weighed anew.

    Raises ClaimRefused and Stale.
    """
    fresh = _fresh(claim, version)
    if fresh.decision:
        raise ClaimRefused(
            gettext("Claim %(fresh)s is decided; open it again to weigh it anew.") % {"fresh": fresh}, "claim"
        )
    said, before = Answer(answer), over_pressure_of(fresh)
    if said == before:
        return fresh
    found = comparing.compare(fresh.damage, said)
    text = gettext("Said whether it was pumped above its rating.")
    changes = {"pumped above its rating": [before, said.value]}
    values = {"seen": comparing.seen(found), "proposal": found.proposal.kind}
    return _written(fresh, "claim.pumped", text, who, changes=changes, **values)


@transaction.atomic
def decide(claim: Claim, decision: str, words: str, *, who: Staff, version: int, base_url: str = "") -> Claim:
    """Write the owner's decision down: "ours" or "new", with words that the customer reads.

    What is ours is taken up by a job at nought. Raises ClaimRefused and Stale.
    """
    if not is_owner(who):
        raise ClaimRefused(gettext("Only the owner decides a claim."), "decision")
    if decision not in (Decision.OURS, Decision.NEW):
        raise ClaimRefused(gettext("Choose: ours, or a new damage."), "decision")
    said = _said(words)
    fresh = _fresh(claim, version)
    if refusal := refusals.before_deciding(fresh, decision):
        raise refusal
    found = compare(fresh)
    decided = _written(
        fresh,
        "claim.decided",
        gettext("Decided claim %(fresh)s, damage %(number)s: %(DECIDED)s. %(said)s")
        % {
            "fresh": fresh,
            "number": fresh.damage.number,
            "DECIDED": _DECIDED[Decision(decision)],
            "said": said,
        },
        who,
        seen=comparing.seen(found),
        proposal=found.proposal.kind,
        decision=decision,
        words=said,
        decided_by=who,
        decided_at=timezone.now(),
    )
    ours.settle(decided.job, who)
    decided.refresh_from_db()
    claim_letter.write(decided, who=who, base_url=base_url)
    return decided


@transaction.atomic
def reopen(claim: Claim, reason: str, *, who: Staff) -> Claim:
    """Take a decision back, so that it is decided anew; a job at nought that has not begun is given up.

    Raises ClaimRefused.
    """
    if not is_owner(who):
        raise ClaimRefused(gettext("Only the owner opens a claim again."), "decision")
    fresh = _fresh(claim, None)
    if not fresh.decision:
        raise ClaimRefused(
            gettext("Claim %(fresh)s is open; there is nothing to take back.") % {"fresh": fresh}, "claim"
        )
    because = " ".join(reason.replace("\0", "").split())
    if not because:
        raise ClaimRefused(gettext("Say why it is decided anew, in a few words."), "reason")
    if len(because) > LONGEST_REASON:
        raise ClaimRefused(
            gettext("Say it in %(LONGEST_REASON)s letters or fewer; these are %(because)s.")
            % {"LONGEST_REASON": LONGEST_REASON, "because": len(because)},
            "reason",
        )
    if not fresh.job.is_open:
        raise ClaimRefused(
            gettext("Job %(job)s is closed, so its claims stay as they were decided.") % {"job": fresh.job},
            "job",
        )
    ours.give_up(fresh, because, who)
    fresh.refresh_from_db()
    return _written(
        fresh,
        "claim.reopened",
        gettext("Opened claim %(fresh)s again: %(because)s") % {"fresh": fresh, "because": because},
        who,
        decision=Decision.OPEN,
        words="",
        decided_by=None,
        decided_at=None,
    )


@transaction.atomic
def drop(claim: Claim, *, who: Staff) -> None:
    """Take an open claim back: the damage is no longer held against a cover. Raises ClaimRefused."""
    fresh = _fresh(claim, None)
    if fresh.decision:
        raise ClaimRefused(gettext("Claim %(fresh)s is decided and stays.") % {"fresh": fresh}, "claim")
    _journal(
        fresh,
        "claim.dropped",
        gettext("Claim %(fresh)s about damage %(number)s was taken back.")
        % {"fresh": fresh, "number": fresh.damage.number},
        who,
    )
    fresh.delete()
    ours.settle(fresh.job, who)


def of(job: Job) -> QuerySet[Claim]:
    """The claims of a visit, in order."""
    return Claim.objects.filter(job=job).select_related(*_WITH)


def concerning(job: Job) -> QuerySet[Claim]:
    """The claims of a visit, and those of another visit that this job mends at nought."""
    return Claim.objects.filter(Q(job=job) | Q(remedy=job)).select_related(*_WITH)


def waiting() -> QuerySet[Claim]:
    """The claims that the owner has still to decide, the oldest first; not of damages taken off since."""
    undecided = Claim.objects.filter(decision=Decision.OPEN, damage__removed_at=None)
    return undecided.select_related(*_WITH).order_by("made_at", "id")


def lapsed() -> QuerySet[Claim]:
    """Open claims about damages that were taken off since: to be brought back, or taken back with them."""
    gone = Claim.objects.filter(decision=Decision.OPEN).exclude(damage__removed_at=None)
    return gone.select_related(*_WITH).order_by("made_at", "id")


def decided() -> QuerySet[Claim]:
    """Every claim that was decided, the newest decision first."""
    return Claim.objects.exclude(decision=Decision.OPEN).select_related(*_WITH).order_by("-decided_at", "-id")


def against(cover: Cover) -> QuerySet[Claim]:
    """The claims held against a cover, in order."""
    return Claim.objects.filter(cover=cover).select_related(*_WITH)


LONGEST_REASON = 200
_NOTHING_THERE = gettext_lazy(
    "There is no cover on {gear}: nothing was repaired here before this damage was found."
)


def _fresh(claim: Claim, version: int | None) -> Claim:
    """The claim as it stands, held with its job until the transaction ends. Raises Stale."""
    lock(claim.job)
    fresh = Claim.objects.select_related(*_WITH).filter(pk=claim.pk).first()
    if fresh is None:
        raise ClaimRefused(gettext("This claim was taken back meanwhile."), "claim")
    if version is not None and fresh.version != version:
        raise Stale(gettext("claim %(fresh)s") % {"fresh": fresh}, fresh, _meanwhile(fresh, version))
    return fresh


def _written(
    claim: Claim,
    verb: str,
    text: str,
    who: Staff,
    *,
    changes: dict[str, list[Any]] | None = None,
    **values: Any,
) -> Claim:
    same = Claim.objects.filter(pk=claim.pk, version=claim.version)
    if not same.update(version=F("version") + 1, **values):
        now = Claim.objects.get(pk=claim.pk)
        raise Stale(gettext("claim %(claim)s") % {"claim": claim}, now, _meanwhile(now, claim.version))
    _journal(claim, verb, text, who, changes)
    return Claim.objects.select_related(*_WITH).get(pk=claim.pk)


def _journal(
    claim: Claim, verb: str, text: str, who: Staff, changes: dict[str, list[Any]] | None = None
) -> None:
    for about in (claim, claim.job):
        journal.record(about, verb, text, who=who, changes=changes)


def _meanwhile(claim: Claim, version: int) -> list[str]:
    steps = max(claim.version - version, 0)
    entries = reversed(journal.entries(claim)[:steps])
    return [f"{entry.who_name} {begun_small(journal.words(entry))}" for entry in entries]


def _said(words: str) -> str:
    try:
        return clean_text(words, gettext("Say why, in words that the customer reads."))
    except NotSaid as refusal:
        raise ClaimRefused(str(refusal), "words") from None
