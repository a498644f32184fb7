"""The damages of a job as the papers show them: a row each, the verdict over all, the tasks they make."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.gear.describe import planform
from shoprepair.gear.planform import Planform
from shoprepair.gear.words import strut_name
from shoprepair.jobs.assessment import read
from shoprepair.jobs.models import Damage, Job
from shoprepair.jobs.words import finding_words, place_words, short_place_words, size_words, what_is_wrong
from shoprepair.mechanics.description import Answer, Band, Element, FindingKind, Fold
from shoprepair.papers.steps import Task
from shoprepair.shop.languages import written
from shoprepair.shop.units import Units, say

MOST_SHOWN_RATIO = 100.0
OFTEN = 5
"""Damages for which the same sentence is said once."""
_ON_THE_EDGE = frozenset({Element.LEADING_EDGE, Element.BRIDLE_POINT})


class Row(NamedTuple):
    """One damage in the table."""

    number: int
    place: str
    what: str
    size: str
    load_ratio: str
    urgency: int
    band: str
    judged: bool
    inspect: tuple[str, ...]
    note: str

    @property
    def tape(self) -> str:
        """Name of its urgency tape among the pictures."""
        return tape_name(self.urgency, self.band)


class Verdict(NamedTuple):
    """What the whole job comes to: its worst damage speaks."""

    judged: bool
    urgency: int
    band: str
    sentence: str

    @property
    def grounded(self) -> bool:
        return self.judged and self.band == Band.GROUNDED

    @property
    def tape(self) -> str:
        return tape_name(self.urgency, self.band)

    @property
    def slug(self) -> str:
        """The band as a style sheet names it."""
        return self.band.lower().replace(" ", "-")


def tape_name(urgency: int, band: str) -> str:
    """Equal tapes share a picture."""
    return f"tape-{urgency}-{band.lower().replace(' ', '-')}"


def row(damage: Damage, units: Units) -> Row:
    """The damage in words and figures, in the shop's units."""
    assessment = read(damage)
    return Row(
        number=damage.number,
        place=_capital(place_words(damage, units)),
        what=_finding(damage, units),
        size=size_words(damage, units) or "–",
        load_ratio=ratio_words(assessment.load_ratio) if assessment else "–",
        urgency=damage.urgency,
        band=damage.band,
        judged=assessment is not None,
        inspect=tuple(say(sentence, units) for sentence in assessment.inspect) if assessment else (),
        note=damage.note.strip(),
    )


def said_once(rows: Sequence[Row]) -> tuple[list[Row], list[tuple[str, tuple[int, ...]]]]:
    """The rows without what is to be looked at in many of them, and that with their numbers."""
    at: dict[str, list[int]] = {}
    for each in rows:
        for sentence in each.inspect:
            at.setdefault(sentence, []).append(each.number)
    shared = {sentence: tuple(numbers) for sentence, numbers in at.items() if len(numbers) >= OFTEN}
    alone = [each._replace(inspect=tuple(s for s in each.inspect if s not in shared)) for each in rows]
    return alone, list(shared.items())


def verdict(job: Job, damages: Sequence[Damage], units: Units) -> Verdict:
    """Urgency and band of the job with the sentence that decides; not judged while no damage is."""
    wrong, deciding = what_is_wrong(job, damages, units)
    judged = any(read(damage) for damage in damages)
    return Verdict(judged, job.urgency, job.band, f"{wrong} {deciding}".strip())


def task(damage: Damage, units: Units) -> Task:
    """The damage as the bench needs it."""
    drawn = planform(damage.job.inflatable.pattern)
    return Task(
        number=damage.number,
        title=f"{finding_words(damage, units)}, {short_place_words(damage)}",
        element=Element(damage.element),
        kind=FindingKind(damage.kind) if damage.kind else None,
        tube=_tube(damage, drawn),
        fold=Fold(damage.fold),
        through_bladder=Answer(damage.through_bladder),
        wet=Answer(damage.wet),
        old_patch=Answer(damage.old_patch),
        doubled=_doubled(damage, drawn),
    )


def ratio_words(load_ratio: float) -> str:
    """λ with two decimals; past a hundred the decimals say nothing, and at infinity nothing is left."""
    if math.isinf(load_ratio):
        return "∞"
    return (
        written(f"{load_ratio:.2f}")
        if load_ratio < MOST_SHOWN_RATIO
        else gettext("over %(MOST_SHOWN_RATIO)s") % {"MOST_SHOWN_RATIO": f"{MOST_SHOWN_RATIO:.0f}"}
    )


def _finding(damage: Damage, units: Units) -> str:
    face = "" if damage.face in {"", "not said"} else f", {gettext(damage.face)}"
    fold = (
        gettext(", fold not tried")
        if damage.kind == FindingKind.SCUFF and damage.fold == Fold.UNTRIED
        else ""
    )
    return f"{finding_words(damage, units)}{face}{fold}"


def _tube(damage: Damage, drawn: Planform) -> str:
    if damage.strut is not None:
        return strut_name(drawn, damage.strut, damage.side)
    return gettext("leading edge") if Element(damage.element) in _ON_THE_EDGE else ""


def _doubled(damage: Damage, drawn: Planform) -> bool:
    if damage.element == Element.STRUT and damage.strut is not None:
        return drawn.struts[damage.strut].tube.is_doubled(damage.fraction)
    return damage.element == Element.LEADING_EDGE and drawn.leading_edge.is_doubled(damage.station)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
