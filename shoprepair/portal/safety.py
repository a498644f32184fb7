"""May it be used meanwhile: the answer by band, the reason, and the cautions that belong beside it."""

from collections.abc import Sequence
from dataclasses import dataclass

from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.jobs.words import damage_title
from shoprepair.mechanics.cautions import cautions
from shoprepair.mechanics.description import Band, Element
from shoprepair.portal.standing import DONE
from shoprepair.shop.units import Units, say, sentence

SEVEREST_FIRST = (Band.GROUNDED, Band.REPAIR_FIRST, Band.NEXT_SERVICE, Band.WATCH)
UNDER_PRESSURE = {Element.LEADING_EDGE, Element.STRUT, Element.VALVE, Element.HOSE}

_ANSWERS = {
    Band.GROUNDED: "Do not inflate it.",
    Band.REPAIR_FIRST: "Repair it before you use it again.",
    Band.NEXT_SERVICE: "It may be used until its next service.",
    Band.WATCH: "It may be used. Keep an eye on the places below.",
}


@dataclass(frozen=True, slots=True)
class Safety:
    """The answer to "may I use it?"."""

    answer: str
    reason: str
    band: str
    """Empty where nothing decides by its figures."""
    number: int | None
    """The damage that decides."""
    cautions: tuple[str, ...]


def safety(job: Job, damages: Sequence[Damage], units: Units) -> Safety:
    """What the damages found so far say about using it."""
    if job.stage in DONE:
        return _answered("It is repaired as agreed.", "What was left out below is as it was.", damages)
    judged = [damage for damage in damages if damage.model_version]
    if not judged:
        return _answered("Not before the shop has looked it over.", "Nothing is judged yet.", damages)
    worst = min(judged, key=lambda damage: (SEVEREST_FIRST.index(Band(damage.band)), -damage.urgency))
    band = Band(worst.band)
    if band in (Band.NEXT_SERVICE, Band.WATCH) and _looking(job, len(damages) - len(judged)):
        reason = "It is not judged to the end; what is found so far would let it be used."
        return _answered("Not before the shop has looked it over.", reason, damages)
    reason = f"{damage_title(worst, units)}. {say(sentence(worst.reason), units) if worst.reason else ''}"
    return Safety(_ANSWERS[band], reason.strip(), band.value, worst.number, _cautions(band, damages))


def _looking(job: Job, unjudged: int) -> bool:
    """Whether worse may still be found."""
    return unjudged > 0 or job.stage in (Stage.ENQUIRY, Stage.CHECKED_IN)


def _answered(answer: str, reason: str, damages: Sequence[Damage]) -> Safety:
    return Safety(answer, reason, "", None, _cautions(Band.WATCH, damages))


def _cautions(band: Band, damages: Sequence[Damage]) -> tuple[str, ...]:
    tube = any(Element(damage.element) in UNDER_PRESSURE for damage in damages)
    return tuple(caution.text for caution in cautions(band, under_pressure=tube))
