"""A pinned damage as the few values that decide which operations mend it."""

from collections.abc import Sequence

from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import resolve
from shoprepair.jobs.models import Damage
from shoprepair.mechanics.description import SAILCLOTH, Answer, Element, Face, FindingKind, Fold, Softens
from shoprepair.pricing.proposals import layups
from shoprepair.pricing.proposals.asked import Asked, length_taken
from shoprepair.pricing.proposals.remedies import Situation


def situation(damage: Damage, asked: Asked | None, *, wet: bool = False) -> Situation:
    """What the table of remedies needs to know of a damage whose kind was said.

    wet: whether the washing of the whole inflatable is to stand with this damage.
    """
    element = Element(damage.element)
    return Situation(
        element=element,
        kind=FindingKind(damage.kind),
        on_strut=damage.strut is not None,
        length_m=damage.length_m,
        taken_m=length_taken(damage, _radius(asked)),
        fold=Fold(damage.fold),
        face=Face(damage.face),
        through_bladder=Answer(damage.through_bladder),
        softens=_softens(damage),
        stitched_left_m=damage.stitched_left_m,
        fraction=damage.fraction,
        fitting=_fitting(damage) if element in (Element.VALVE, Element.HOSE) else "",
        tape_holds=tape_holds(asked) if element in SAILCLOTH else False,
        old_patch=damage.old_patch == Answer.YES,
        under=FindingKind(damage.under_kind) if damage.under_kind else None,
        wet=wet,
    )


def washed_with(damages: Sequence[Damage]) -> Damage | None:
    """The damage that the washing of a wet or sandy inflatable stands with: it is washed once."""
    if any(damage.kind == FindingKind.STAIN for damage in damages):
        return None
    wet = [damage for damage in damages if damage.wet == Answer.YES and damage.kind]
    return min(wet, key=lambda damage: damage.number, default=None)


def tape_holds(asked: Asked | None) -> bool:
    """Whether adhesive alone carries the canopy there; not while nobody knows what it must carry."""
    tape = layups.proposed("canopy-tape", asked) if asked else None
    return tape is not None and not tape.shortfall


def _radius(asked: Asked | None) -> float | None:
    return asked.around_m / 6.283185307179586 if asked and asked.around_m else None


def _softens(damage: Damage) -> Softens:
    """The measured time wins over the words."""
    if damage.seconds_to_half is None:
        return Softens(damage.softens)
    return Softens.HOUR if damage.seconds_to_half > 600 else Softens.MINUTES


def _fitting(damage: Damage) -> str:
    """inflation, dump or hose: what the pin lies on."""
    region = resolve(planform(damage.job.inflatable.pattern), damage.x_m, damage.y_m).region
    return region.split("-")[0]
