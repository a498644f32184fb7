"""What is ours to mend: a job at nought for the damages of claims decided so."""

from collections.abc import Iterable

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from shoprepair.cover.models import Claim
from shoprepair.cover.refusals import ClaimRefused, agreed_to_pay
from shoprepair.jobs import assessment, checkin, damages, ownership, stages
from shoprepair.jobs.models import Damage, Hold, Job, Photo, Stage
from shoprepair.pricing import answers, quotes
from shoprepair.pricing.models import Quote, Repair
from shoprepair.pricing.quotes.finding import out
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop import journal, opening, settings
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

_NOT_YET = (
    checkin.NotTheirs,
    stages.StageRefused,
    quotes.NotSendable,
    quotes.JobClosed,
    answers.AnswerRefused,
)
NOT_BEGUN = (Stage.ASSESSED, Stage.QUOTE_OUT, Stage.GO_AHEAD)
"""Where a job at nought can still be given up."""


def pending(visit: Job) -> QuerySet[Claim]:
    """Claims of a visit that are ours and that no job mends yet."""
    ours = Claim.objects.filter(job=visit, decision=Claim.Decision.OURS, remedy=None)
    return ours.select_related("damage").order_by("damage__number")


def settle(visit: Job, who: Staff) -> Job | None:
    """Take up what is ours once nothing of the visit is left to decide, so that one job mends all of it."""
    undecided = Claim.objects.filter(job=visit, decision=Claim.Decision.OPEN, damage__removed_at=None)
    first = None if undecided.exists() else pending(visit).first()
    return take_up(first, who) if first else None


@transaction.atomic
def take_up(claim: Claim, who: Staff) -> Job:
    """The job at nought that mends what is ours of the claim's visit, standing at go-ahead.

    The visit itself where all that it has to mend is ours; else a job of its own for the same gear, which
    takes those damages over with their photos. Raises ClaimRefused, and then nothing has changed.
    """
    visit = lock(claim.job)
    if claim.remedy_id:
        return Job.objects.get(pk=claim.remedy_id)
    claims = list(pending(visit))
    if not claims:
        raise ClaimRefused(gettext("Claim %(claim)s was not decided as ours.") % {"claim": claim}, "decision")
    try:
        remedy = _take_up(visit, claims, who)
    except _NOT_YET as refusal:
        raise ClaimRefused(
            gettext("The job at no charge cannot be made yet. %(refusal)s") % {"refusal": refusal}, "job"
        ) from refusal
    Claim.objects.filter(pk__in=[each.pk for each in claims]).update(remedy=remedy)
    claim.refresh_from_db(fields=("remedy",))
    return remedy


def _take_up(visit: Job, claims: list[Claim], who: Staff) -> Job:
    numbers = {each.damage.number for each in claims}
    _ask_no_price(visit, numbers, who)
    if _left_to_quote(visit) <= numbers | _ours_already(visit):
        remedy = visit
        if remedy.stage == Stage.CHECKED_IN:
            stages.move(remedy, Stage.ASSESSED, who=who)
    else:
        remedy = _own_job(visit, claims, who)
    _agree(remedy, who)
    text = gettext("Ours to mend, at no charge: %(claims)s.") % {"claims": _named(claims)}
    journal.record(remedy, "claim.taken-up", text, who=who)
    if remedy != visit:
        over = gettext("%(claims)s went over to job %(remedy)s, which mends what is ours.") % {
            "claims": _named(claims),
            "remedy": remedy,
        }
        journal.record(visit, "claim.taken-up", over, who=who)
    return remedy


def _ask_no_price(visit: Job, numbers: set[int], who: Staff) -> None:
    """Nobody is asked to pay for what is ours: what is out, or agreed and not begun, is quoted anew."""
    because = gettext("part of it is ours to mend.")
    if quote := out(visit):
        quotes.withdraw(quote, who=who, reason=because)
        visit.refresh_from_db()
    if visit.stage == Stage.GO_AHEAD and (
        numbers & agreed_to_pay(visit) or _left_to_quote(visit) <= numbers | _ours_already(visit)
    ):
        stages.move(visit, Stage.ASSESSED, who=who, reason=because)


def _left_to_quote(visit: Job) -> set[int]:
    """Numbers of the damages that a draft written now would hold."""
    if visit.stage in quotes.IN_WORK:
        return set(quotes.not_quoted(visit))
    return set(visit.damages.filter(removed_at=None).values_list("number", flat=True))


def _ours_already(visit: Job) -> set[int]:
    """Numbers of what the visit mends at nought already."""
    return set(Claim.objects.filter(job=visit, remedy=visit).values_list("damage__number", flat=True))


def _own_job(visit: Job, claims: list[Claim], who: Staff) -> Job:
    """A visit of its own for the same gear, as far as assessed, with the damages that it takes over."""
    if other := Job.objects.filter(inflatable=visit.inflatable_id, stage=Stage.ENQUIRY).first():
        raise ClaimRefused(
            gettext("Job %(other)s is an open enquiry about the same gear. Check it in or withdraw it first.")
            % {"other": other},
            "job",
        )
    # Gear that passed on during the visit is mended for whoever owns it, as its covers went along.
    owner = ownership.owner(visit.inflatable) or visit.customer
    remedy = checkin.start(owner, visit.inflatable, who=who)
    Job.objects.filter(pk=remedy.pk).update(
        promised_on=max(visit.promised_on, opening.open_on(settings.current(), timezone.localdate())),
        terms=visit.terms,
        terms_agreed_at=visit.terms_agreed_at,
        note=gettext("At no charge: ours to mend. The gear came in with job %(visit)s.") % {"visit": visit},
    )
    remedy.refresh_from_db()
    for claim in claims:
        take_over(claim.damage, remedy, who)
    assessment.assess_job(remedy)
    checkin.finish(remedy, who=who)
    stages.move(remedy, Stage.ASSESSED, who=who)
    if visit.hold == Hold.DRYING:
        stages.set_hold(remedy, visit.hold, visit.hold_note, who=who)
    return remedy


def take_over(damage: Damage, remedy: Job, who: Staff) -> Damage:
    """The same damage on another job, by the same number, with its photos and its repairs."""
    fields = {field.attname: getattr(damage, field.attname) for field in Damage._meta.concrete_fields}
    taken = Damage(**{**fields, "id": None, "job_id": remedy.pk, "version": 1, "removed_at": None})
    taken.save()
    Photo.objects.filter(damage=damage).update(job=remedy, damage=taken)
    for repair in Repair.objects.filter(damage=damage):
        repair.pk, repair.damage = None, taken
        repair.save(force_insert=True)
    damages.remove(damage, who)
    return taken


def _agree(remedy: Job, who: Staff) -> Quote:
    """A quote at nought, sent and agreed in the shop's own name: the job goes to go-ahead."""
    if begun := quotes.open_draft(remedy):
        quotes.discard(begun, who=who, version=begun.version)
    draft = quotes.draft(remedy, who=who)
    quotes.change(draft, who=who, version=draft.version, warranty=True)
    address = settings.current().web_address
    quotes.send(draft, who=who, version=draft.version, base_url=address, tell=False)
    agreed = answers.agree_ourselves(draft, who=who)
    remedy.refresh_from_db()
    return agreed


@transaction.atomic
def give_up(claim: Claim, reason: str, who: Staff) -> None:
    """The damage of a claim is no longer ours: its job at nought is given up as far as it was for this one.

    Raises ClaimRefused once the work has begun.
    """
    remedy, visit = claim.remedy, lock(claim.job)
    if remedy is None:
        return
    if remedy.stage not in NOT_BEGUN:
        at = Stage(remedy.stage).label
        raise ClaimRefused(
            gettext("Job %(remedy)s, which mends it, is at “%(at)s” already; it stays ours.")
            % {"remedy": remedy, "at": at},
            "decision",
        )
    others = Claim.objects.filter(remedy=remedy).exclude(pk=claim.pk).exists()
    if remedy == visit:
        stages.move(visit, Stage.ASSESSED, who=who, reason=reason)
    else:
        _hand_back(claim.damage, remedy, who)
        if others:
            stages.move(remedy, Stage.ASSESSED, who=who, reason=reason)
            _agree(remedy, who)
        else:
            stages.move(remedy, Stage.WITHDRAWN, who=who, reason=reason)
    Claim.objects.filter(pk=claim.pk).update(remedy=None)


def _hand_back(damage: Damage, remedy: Job, who: Staff) -> None:
    """A damage that was taken over goes back to its visit, with its photos."""
    taken = remedy.damages.filter(number=damage.number, removed_at=None).first()
    damages.restore(damage, who)
    if taken:
        Photo.objects.filter(damage=taken).update(job=damage.job, damage=damage)
        damages.remove(taken, who)


def _named(claims: Iterable[Claim]) -> str:
    numbers = [str(claim.damage.number) for claim in claims]
    if len(numbers) == 1:
        return gettext("damage %(numbers)s") % {"numbers": numbers[0]}
    return gettext("damages %(join)s and %(numbers)s") % {
        "join": ", ".join(numbers[:-1]),
        "numbers": numbers[-1],
    }
