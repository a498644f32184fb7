"""May it be used meanwhile: the answer, what decides it, and the cautions that belong beside it."""

from collections.abc import Collection, Sequence
from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.jobs.meanwhile import meanwhile
from shoprepair.jobs.models import Damage, Job
from shoprepair.jobs.words import damage_title
from shoprepair.mechanics.cautions import cautions
from shoprepair.mechanics.description import Band, Element, Sentence
from shoprepair.portal.standing import DONE
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, say, sentence

MEANWHILE, NOW = gettext_lazy("May it be used meanwhile?"), gettext_lazy("May it be used?")
UNDER_PRESSURE = {Element.LEADING_EDGE, Element.STRUT, Element.VALVE, Element.HOSE}


class Safety(NamedTuple):
    """The answer to "may I use it?"."""

    heading: str
    answer: str
    words: str
    band: str
    """Empty where no figure decides."""
    what: str
    """The damage that decides, in words."""
    number: int | None
    reason: str
    cautions: tuple[str, ...]


def safety(
    job: Job,
    damages: Sequence[Damage],
    units: Units,
    not_mended: Collection[int] = (),
    not_asked: Collection[int] = (),
) -> Safety:
    """What the damages found so far say about using it.

    Of gear that is repaired: that it is, unless the customer left out what would have mended a damage;
    `not_mended` are the numbers of those, `not_asked` of what was found in work and never answered.
    """
    if job.stage not in DONE:
        return _said(MEANWHILE, "", damages, units)
    left = [damage for damage in damages if damage.number in {*not_mended, *not_asked}]
    if not left:
        return _undecided(NOW, gettext("Yes."), gettext("It was repaired as agreed."))
    but = gettext("not all that was found") if not_asked else gettext("not what you left out")
    return _said(NOW, gettext("It was repaired as agreed, but %(but)s. ") % {"but": but}, left, units)


def _said(heading: str, before: str, damages: Sequence[Damage], units: Units) -> Safety:
    said = meanwhile(damages)
    worst = _deciding(damages, said.band)
    if worst is None:
        return _undecided(heading, said.answer, f"{before}{said.words}")
    return Safety(
        heading=heading,
        answer=said.answer,
        words=f"{before}{said.words}",
        band=said.band,
        what=damage_title(worst, units),
        number=worst.number,
        reason=say(sentence(worst.reason), units) if worst.reason else "",
        cautions=_cautions(Band(said.band), damages),
    )


def _deciding(damages: Sequence[Damage], band: str) -> Damage | None:
    """The worst of those whose band decided."""
    alike = [damage for damage in damages if damage.model_version and damage.band == band]
    return max(alike, key=lambda damage: (damage.urgency, -damage.number), default=None)


def _undecided(heading: str, answer: str, words: str) -> Safety:
    """An answer that hangs on no figure: nobody pumps anything up to find out."""
    return Safety(
        heading, answer, words, "", "", None, "", _said_of(cautions(Band.WATCH, under_pressure=False))
    )


def _cautions(band: Band, damages: Sequence[Damage]) -> tuple[str, ...]:
    tube = any(Element(damage.element) in UNDER_PRESSURE for damage in damages)
    return _said_of(cautions(band, under_pressure=tube))


def _said_of(found: Sequence[Sentence]) -> tuple[str, ...]:
    return tuple(gettext(caution.text) for caution in found)
