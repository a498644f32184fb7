"""From a pinned damage to its load ratio, urgency and band, kept with the inputs they were computed from."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from django.db import transaction

from shoprepair.gear.describe import description
from shoprepair.jobs.models import Damage, Job
from shoprepair.jobs.stored import read_back, stored
from shoprepair.mechanics import assessment as mechanics
from shoprepair.mechanics.description import (
    Answer,
    Assessment,
    Band,
    Condition,
    Direction,
    Element,
    Face,
    Finding,
    FindingKind,
    Fold,
    LoadCases,
    Place,
    Sentence,
    Softens,
)
from shoprepair.shop import domain
from shoprepair.shop.settings import cases as shop_cases
from shoprepair.shop.units import sentence
from shoprepair.shop.units.saying import stored_sentence

COMPUTED = ("load_ratio", "urgency", "band", "assessment", "reason", "model_version")
SEVEREST_FIRST = tuple(Band)
_WORST_CONDITION_LAST = (Condition.SOUND, Condition.FADED, Condition.BRITTLE)
LARGEST_STORED_RATIO = 1e9


def place_of(damage: Damage) -> Place:
    """Where the damage lies, as `mechanics` takes it."""
    return Place(
        element=Element(damage.element),
        station=damage.station,
        side=damage.side,
        strut=damage.strut,
        fraction=damage.fraction,
        face=Face(damage.face),
    )


def finding_of(damage: Damage) -> Finding | None:
    """What was found, as `mechanics` takes it; None until somebody has said what kind it is.

    The cloth counts as the worse of what was said of this spot and of the whole inflatable.
    """
    if not damage.kind:
        return None
    spot, whole = Condition(damage.condition), Condition(damage.job.inflatable.condition)
    finding = Finding(
        kind=FindingKind(damage.kind),
        length_m=damage.length_m,
        direction=Direction(damage.direction),
        angle_rad=None if damage.angle_deg is None else math.radians(damage.angle_deg),
        fold=Fold(damage.fold),
        condition=max(spot, whole, key=_WORST_CONDITION_LAST.index),
        through_bladder=Answer(damage.through_bladder),
        softens=Softens(damage.softens),
        seconds_to_half=damage.seconds_to_half,
        stitched_left_m=damage.stitched_left_m,
    )
    if not damage.under_kind:
        return finding
    return replace(finding, under=replace(finding, kind=FindingKind(damage.under_kind)))


def assess_damage(damage: Damage, cases: LoadCases | None = None) -> Assessment | None:
    """Compute the damage's figures and set them on it, without saving.

    None, and nothing set but zeros, while the damage is not described far enough to be judged.
    """
    finding = finding_of(damage)
    if finding is None:
        _clear(damage)
        return None
    cases = cases or shop_cases()
    pattern = description(damage.job.inflatable.pattern)
    try:
        result = mechanics.assess(pattern, place_of(damage), finding, cases)
    except ValueError as refusal:
        _clear(damage)
        # English to all logic, and what each reader's sentence is made of.
        damage.reason = stored_sentence(Sentence(domain.said(refusal))) | {"text": str(refusal)}
        return None
    damage.load_ratio = result.load_ratio if result.load_ratio < LARGEST_STORED_RATIO else None
    damage.urgency, damage.band = result.urgency, result.band.value
    damage.assessment = stored(pattern, place_of(damage), finding, cases, result)
    damage.reason = damage.assessment["result"]["reason"]
    damage.model_version = mechanics.MODEL_VERSION
    return result


def assess_job(job: Job) -> Job:
    """Give the job the urgency and band of its worst live damage, and save that."""
    with transaction.atomic():
        # Two people answering two damages of one job wait here, so that the second sees the first's.
        Job.objects.select_for_update().get(pk=job.pk)
        return assess_locked(job)


def is_assessed_by(job: Job, damages: Iterable[Damage]) -> bool:
    """Whether the job already has the urgency and band of the worst of its damages, as they are here."""
    worst = [(damage.urgency, damage.band) for damage in damages if damage.removed_at is None]
    return (job.damage_count, job.urgency, job.band) == _worst(worst)


def assess_locked(job: Job) -> Job:
    """The same within a transaction that has locked the job already."""
    live = job.damages.filter(removed_at=None).values_list("urgency", "band")
    job.damage_count, job.urgency, job.band = _worst(list(live))
    job.rank = 100 - job.urgency
    job.save(update_fields=("damage_count", "urgency", "rank", "band"))
    return job


def worst_of(damages: Iterable[Damage]) -> tuple[int, str]:
    """The highest urgency and the severest band among damages; nought and Watch where there are none."""
    _count, urgency, band = _worst([(damage.urgency, damage.band) for damage in damages])
    return urgency, band


def _worst(live: Sequence[tuple[int, str]]) -> tuple[int, int, str]:
    """How many there are, the highest urgency and the severest band."""
    urgency = max((urgency for urgency, _ in live), default=0)
    band = min((Band(band) for _, band in live), key=SEVEREST_FIRST.index, default=Band.WATCH)
    return len(live), urgency, band.value


def read(damage: Damage) -> Assessment | None:
    """The stored assessment as the value that `mechanics` returned; None where there is none."""
    result = damage.assessment.get("result")
    return read_back(result) if result else None


def refusal(damage: Damage) -> str:
    """Why a described damage could not be judged, in a sentence; empty where it was, or was not tried."""
    return "" if damage.model_version or not damage.reason else sentence(damage.reason).text


def _clear(damage: Damage) -> None:
    damage.load_ratio, damage.urgency, damage.band = None, 0, Band.WATCH.value
    damage.assessment, damage.reason, damage.model_version = {}, {}, ""
