"""What the comparison page shows: a new damage beside the footprints of earlier repairs, and what follows."""

from collections.abc import Iterable
from typing import Any, NamedTuple
from urllib.parse import urlencode

from django.http import HttpRequest
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.counter.fetch import fetch_damage
from shoprepair.counter.keys import new_key
from shoprepair.counter.sheet import finding_of
from shoprepair.cover import claim_drawing, claim_words, claims, comparing, refusals, standing
from shoprepair.cover.comparing import Comparison, Met
from shoprepair.cover.evidence import Evidence, Later
from shoprepair.cover.models import Claim, Cover
from shoprepair.cover.refusals import ClaimRefused
from shoprepair.jobs.models import Damage, Job, Photo, Stage
from shoprepair.mechanics.description import Answer, Sentence
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, say_line_load

SHOWN_AT_FIRST = 5
PHOTOS_SHOWN = 4
PUMPED = (
    (Answer.YES.value, gettext_lazy("Yes")),
    (Answer.NO.value, gettext_lazy("No")),
    (Answer.UNKNOWN.value, gettext_lazy("Not known")),
)

SAYS = frozenset(value for value, _ in PUMPED)


class Beside(NamedTuple):
    """One cover in the list of those that the damage was laid beside."""

    met: Met
    relation: str
    distance: str
    distance_of: str
    age: str
    given: str
    mended: str
    ended: str
    url: str
    chosen: bool

    @property
    def cover(self) -> Cover:
        return self.met.cover


class Way(NamedTuple):
    """Where what was refused is mended."""

    words: str
    url: str


def claim_of(damage: Damage) -> Claim | None:
    """The claim about this damage, if it is held against a cover."""
    return claims.of(damage.job).filter(damage=damage).first()


def claim_page(
    job: Job, damage: Damage, request: HttpRequest, *, refused: ClaimRefused | None = None, **more: Any
) -> dict[str, Any]:
    """Everything that the page's template names; `more` is what was typed and refused."""
    units: Units = request.units
    damage.job = job
    claim = claim_of(damage)
    over_pressure = _pumped(request, claim)
    found = _comparison(damage, claim, over_pressure)
    refusal = refused or (None if claim else refusals.before_holding(damage))
    chosen = _chosen(found, claim, request.GET.get("cover", ""))
    return {
        "job": job,
        "damage": damage,
        "finding": finding_of(job, damage, _photos(damage), units),
        "claim": claim,
        "refused": refused,
        "refusal": refusal,
        "way": way(refusal, job, damage) if refusal else None,
        "pumped": over_pressure,
        "pumped_choices": PUMPED,
        "may_decide": request.user.is_owner,
        "gear_url": reverse("gear", args=[job.inflatable_id]),
        "key": new_key(),
        **(_compared(found, chosen, job, damage, units) if found and chosen else {"met": None}),
        **(_decided(claim) if claim and claim.decision else {}),
        **more,
    }


def way(refusal: ClaimRefused, job: Job, damage: Damage) -> Way | None:
    """Where what stands in the way is mended."""
    if refusal.about == "owner":
        return Way(gettext("Pass the gear on"), reverse("gear", args=[job.inflatable_id]))
    if refusal.about == "damage" and damage.removed_at:
        return Way(gettext("To the damages of the job"), f"{job.get_absolute_url()}#removed-damages")
    if refusal.about == "damage":
        return Way(gettext("Answer its questions"), reverse("damage", args=[job.number, damage.number]))
    if refusal.about == "job":
        return Way(gettext("To the job"), job.get_absolute_url())
    return None


def _pumped(request: HttpRequest, claim: Claim | None) -> str:
    if claim:
        return claims.over_pressure_of(claim)
    asked = request.POST.get("pumped") or request.GET.get("pumped", "")
    return asked if asked in SAYS else Answer.UNKNOWN.value


def _comparison(damage: Damage, claim: Claim | None, over_pressure: str) -> Comparison | None:
    """Nothing where the damage is not described, or was taken off, and nothing was seen before."""
    if claim:
        return claims.compare(claim)
    if damage.removed_at or not refusals.described(damage):
        return None
    return comparing.compare(damage, over_pressure)


def _chosen(found: Comparison | None, claim: Claim | None, asked: str) -> Met | None:
    if found is None:
        return None
    number = int(asked) if asked.isascii() and asked.isdecimal() and len(asked) < 10 else None
    return found.of(number) or (claim and found.of(claim.cover.number)) or found.deciding


def _compared(found: Comparison, chosen: Met, job: Job, damage: Damage, units: Units) -> dict[str, Any]:
    beside = [_beside(met, job, damage, found.later, units, chosen) for met in found.met]
    demand = found.later.damage.demand_n_per_m
    return {
        "met": next(each for each in beside if each.chosen),
        "proposal": found.proposal,
        "proposed": claim_words.PROPOSED[found.proposal.kind],
        "speaks_for": _speaking("for", chosen.evidence),
        "speaks_against": _speaking("against", chosen.evidence),
        "speaks_neither": _speaking("neither", chosen.evidence),
        "beside": beside[:SHOWN_AT_FIRST],
        "beside_more": beside[SHOWN_AT_FIRST:],
        "beside_count": len(beside),
        "demand": say_line_load(demand, units) if demand else "",
        "before": _before(chosen),
        **_drawn(found, chosen, damage, units),
    }


def _drawn(found: Comparison, chosen: Met, damage: Damage, units: Units) -> dict[str, Any]:
    """The footprints and the damage drawn over each other, and where that is on the whole."""
    title = gettext("Damage %(number)s laid over cover %(cover)s") % {
        "number": damage.number,
        "cover": chosen.cover,
    }
    whole = gettext("%(pattern)s with every repair on it") % {"pattern": chosen.record.gear.pattern}
    band = damage.band if damage.model_version else ""
    return {
        "unrolled": claim_drawing.over_each_other(found, chosen, units, title),
        "whole": claim_drawing.on_the_whole(found, chosen, whole, band=band),
    }


def _beside(met: Met, job: Job, damage: Damage, later: Later, units: Units, chosen: Met) -> Beside:
    ending, on = standing.ending_of(met.cover), later.on
    ran_out = standing.ran_out(met.cover, on)
    given = timezone.localdate(met.record.given_at)
    page = reverse("claim", args=[job.number, damage.number])
    return Beside(
        met=met,
        relation=claim_words.relation(met.meeting),
        distance=claim_words.distance(met.meeting, units),
        distance_of=claim_words.distance_of(met.meeting),
        age=claim_words.age(given, on),
        given=claim_words.day(given),
        mended=claim_words.mended(met.record, units),
        ended=ending.get_reason_display() if ending else gettext("Its term is over") if ran_out else "",
        url=f"{page}?{urlencode({'cover': met.cover.number, 'pumped': later.over_pressure.value})}",
        chosen=met is chosen,
    )


def _speaking(side: str, evidence: Iterable[Evidence]) -> list[Sentence]:
    return [each.sentence for each in evidence if each.speaks == side]


def _before(met: Met) -> list[Photo]:
    """Photos of the repair as its cover keeps them, as far as the shop still has them."""
    keys = [photo.key for photo in met.record.photos]
    kept = Photo.objects.in_bulk(keys[-PHOTOS_SHOWN:], field_name="key")
    return [kept[key] for key in keys if key in kept]


def _photos(damage: Damage) -> list[Photo]:
    """Photos of the damage, also those that went over to the job that mends it."""
    mended_by = Claim.objects.filter(damage=damage).values("remedy")
    taken = Damage.objects.filter(job__in=mended_by, number=damage.number)
    # One list of keys: a server that is asked for one or the other goes through all photos there are.
    here, there = (of.order_by().values("pk") for of in (Damage.objects.filter(pk=damage.pk), taken))
    photos = Photo.objects.filter(damage__in=here.union(there, all=True), removed_at=None)
    return list(photos.order_by("id")[:PHOTOS_SHOWN])


def _decided(claim: Claim) -> dict[str, Any]:
    remedy = claim.remedy
    begun = remedy is not None and remedy.stage not in (Stage.ASSESSED, Stage.QUOTE_OUT, Stage.GO_AHEAD)
    return {
        "decided": claim_words.DECIDED[Claim.Decision(claim.decision)],
        "remedy": remedy,
        "is_same_job": remedy == claim.job,
        "may_reopen": claim.job.is_open and not begun,
    }


def fetch_claimed(job: Job, number: int) -> Damage:
    """The damage that is compared, also where it was taken off since."""
    return fetch_damage(job, number, removed=True)
