"""Why a damage is not held against a cover, or a claim not decided: a sentence, and what it is about."""

from django.utils.translation import gettext

from shoprepair.cover import standing
from shoprepair.cover.models import Claim, Cover, Ending
from shoprepair.jobs import ownership
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.jobs.questions import required
from shoprepair.pricing import quotes
from shoprepair.shop.languages import begun_small


class ClaimRefused(ValueError):
    """It cannot be held against a cover, or not be decided; the message says why, and what to do.

    `about` tells where that is mended: "owner" (pass the gear on), "damage", "job", "claim", "cover",
    "decision" or "words".
    """

    def __init__(self, sentence: str, about: str = "claim") -> None:
        super().__init__(sentence)
        self.about = about


def before_holding(damage: Damage) -> ClaimRefused | None:
    """What stands in the way of holding this damage against any cover; None where nothing does."""
    job = damage.job
    if held := Claim.objects.filter(damage=damage).select_related("cover").first():
        return ClaimRefused(
            gettext("Damage %(number)s is already held against cover %(cover)s, as claim %(held)s.")
            % {"number": damage.number, "cover": held.cover, "held": held},
            "claim",
        )
    if damage.removed_at:
        return ClaimRefused(
            gettext("Damage %(number)s was taken off the job. Bring it back first.")
            % {"number": damage.number},
            "damage",
        )
    if not described(damage):
        return ClaimRefused(
            gettext(
                "Answer the questions of damage %(number)s first; until then nobody can say "
                "what speaks for or against."
            )
            % {"number": damage.number},
            "damage",
        )
    if not job.is_open:
        stage = Stage(job.stage).label
        return ClaimRefused(
            gettext("Job %(job)s is closed (%(stage)s). Check the gear in again and pin the damage there.")
            % {"job": job, "stage": stage},
            "job",
        )
    return _whose(job)


def of_cover(cover: Cover, damage: Damage) -> ClaimRefused | None:
    """Why not against this cover; None where it may be."""
    if cover.inflatable_id != damage.job.inflatable_id:
        return ClaimRefused(
            gettext("Cover %(cover)s was given on other gear than this.") % {"cover": cover}, "cover"
        )
    if ending := standing.ending_of(cover):
        because = f" ({ending.note})" if ending.note else ""
        return ClaimRefused(
            gettext("Cover %(cover)s no longer stands: %(ending)s%(because)s. Choose another one.")
            % {"cover": cover, "ending": _ended(ending), "because": because},
            "cover",
        )
    return None


def described(damage: Damage) -> bool:
    """Whether it was described far enough to be compared."""
    return bool(damage.kind) and all(getattr(damage, name) is not None for name in required(damage))


def before_deciding(claim: Claim, decision: str) -> ClaimRefused | None:
    """What stands in the way of deciding an open claim so; None where nothing does."""
    damage, job = claim.damage, claim.job
    if claim.decision:
        return ClaimRefused(
            gettext("Claim %(claim)s is decided already. Open it again to decide it anew.")
            % {"claim": claim},
            "claim",
        )
    if damage.removed_at:
        return ClaimRefused(
            gettext(
                "Damage %(number)s was taken off job %(job)s since. Bring it back, or take the claim back."
            )
            % {"number": damage.number, "job": job},
            "damage",
        )
    if not described(damage):
        return ClaimRefused(
            gettext("Damage %(number)s has to be described again first.") % {"number": damage.number},
            "damage",
        )
    return _not_ours(claim) if decision == Claim.Decision.OURS else None


def _not_ours(claim: Claim) -> ClaimRefused | None:
    """Why nothing can be mended at nought as the visit stands."""
    job, number = claim.job, claim.damage.number
    if job.stage == Stage.ENQUIRY:
        return ClaimRefused(
            gettext("Job %(job)s is not checked in yet. Check it in, then decide.") % {"job": job}, "job"
        )
    if not job.is_open:
        return ClaimRefused(
            gettext(
                "Job %(job)s is closed (%(label)s), so nothing of it can be mended. Check "
                "the gear in again and hold the damage there."
            )
            % {"job": job, "label": Stage(job.stage).label},
            "job",
        )
    if job.stage in quotes.IN_WORK and number in agreed_to_pay(job):
        return ClaimRefused(
            gettext(
                "The customer agreed to pay for damage %(number)s, and it is in work. Take "
                "job %(job)s off the bench to “Assessed” first, so that it is quoted anew."
            )
            % {"number": number, "job": job},
            "job",
        )
    return None


def agreed_to_pay(job: Job) -> set[int]:
    """Numbers of the damages that the customer has agreed to pay for."""
    return {
        number
        for quote in quotes.agreements(job)
        if not quote.warranty
        for line in quote.agreed.get("lines", [])
        if line["taken"]
        for number in line.get("damages", [])
    }


def _whose(job: Job) -> ClaimRefused | None:
    """A cover is the owner's. Who brings somebody else's gear has to be its owner first.

    Gear that passed on during the visit came in as the customer's, and its covers went along.
    """
    owner = ownership.owner(job.inflatable)
    then = ownership.owner(job.inflatable, job.received_at)
    if owner is not None and job.customer_id in (owner.pk, then and then.pk):
        return None
    whose = (
        gettext("belongs to %(owner)s") % {"owner": owner}
        if owner
        else gettext("belongs to nobody whom the shop knows")
    )
    return ClaimRefused(
        gettext(
            "%(inflatable)s %(whose)s, and job %(job)s belongs to %(customer)s. Pass the gear "
            "on first; what its covers promise goes along as their terms say."
        )
        % {"inflatable": job.inflatable, "whose": whose, "job": job, "customer": job.customer},
        "owner",
    )


def _ended(ending: Ending) -> str:
    words = str(ending.get_reason_display())
    return begun_small(words)
