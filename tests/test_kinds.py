"""A kind of damage is known everywhere that has to know it; whoever adds one is told where it is missing.

`DEVELOPERS.md`, “How to add”, leads here.
"""

from collections.abc import Iterator
from enum import StrEnum
from pathlib import Path

import pytest

from shoprepair.jobs import questions
from shoprepair.jobs.models import Damage
from shoprepair.mechanics import assessment, rules
from shoprepair.mechanics.checks import COVERS
from shoprepair.mechanics.description import Element, FindingKind
from shoprepair.office.demo import camera
from shoprepair.papers import steps
from shoprepair.pricing.proposals import remedies

MARKS = Path("templates/counter/check_in/marks")


def missing(kind: StrEnum) -> list[str]:
    """What has still to be said about a kind of damage, and where."""
    on = [element for element, kinds in questions._KINDS.items() if kind in kinds]
    return [*_at_the_desk(kind, on), *_judged(kind, on), *_mended(kind, on)]


def _at_the_desk(kind: StrEnum, on: list[Element]) -> Iterator[str]:
    longest = Damage._meta.get_field("kind").max_length
    if len(kind.value) > longest:
        yield f"mechanics/description.py: no more than {longest} letters are kept of “{kind}”"
    if not on:
        yield "jobs/questions.py, _KINDS: on which elements it can be pinned"
    if kind not in questions._ASKED:
        yield "jobs/questions.py, _ASKED: what is asked about it, () for nothing"
    mark = MARKS / f"{kind.name.lower()}.svg"
    if not mark.exists():
        yield f"{mark}: how it is drawn on its button"
    if kind not in camera._MARKS:
        yield "office/demo/camera.py, _MARKS: how the demo's photos show it"


def _judged(kind: StrEnum, on: list[Element]) -> Iterator[str]:
    if kind in COVERS:
        return
    judged = rules._RULES.get(kind, {})
    parts = {rules.PARTS[_lies_on(element, kind)] for element in on}
    if not judged:
        yield "mechanics/rules.py, _RULES: how dangerous it is, on each part that can have it"
    elif lacking := sorted(part.name for part in parts - set(judged)):
        yield f"mechanics/rules.py, _RULES: how dangerous it is on {', '.join(lacking)}"
    for cover in sorted(COVERS):
        if (kind, cover) not in assessment._JUDGED_BY:
            yield f"mechanics/assessment.py, _JUDGED_BY: what is said of one under a {cover}"


def _mended(kind: StrEnum, on: list[Element]) -> Iterator[str]:
    lies_on = {_lies_on(element, kind) for element in on}
    unmended = sorted(element for element in lies_on if kind not in remedies.RULES[element])
    if unmended or not on:
        where = ", ".join(unmended) or "each element"
        yield f"pricing/proposals/remedies.py, RULES: what mends it on {where}"
    if kind not in steps.ON_A_TUBE:
        yield "papers/steps.py, ON_A_TUBE: what is done about it; needs_opening: whether the tube is opened"
    if kind not in steps.ON_CLOTH:
        yield "papers/steps.py, ON_CLOTH: what is done about it, on paper even where nobody can pin it"


def _lies_on(pinned: Element, kind: StrEnum) -> Element:
    """A cut pinned beside a fitting is one of the tube."""
    return questions.element_for(pinned, kind, on_strut=False)


@pytest.mark.parametrize("kind", FindingKind)
def test_a_kind_of_damage_can_be_pinned_judged_mended_and_printed(kind):
    lacking = missing(kind)
    assert not lacking, "\n".join(["", *lacking])


class Made(StrEnum):
    PINCH = "pinched in a hinge"


def test_whoever_adds_a_kind_is_told_every_place_that_lacks_it():
    assert [place.split(",")[0].split(":")[0] for place in missing(Made.PINCH)] == [
        "mechanics/description.py",
        "jobs/questions.py",
        "jobs/questions.py",
        "templates/counter/check_in/marks/pinch.svg",
        "office/demo/camera.py",
        "mechanics/rules.py",
        "mechanics/assessment.py",
        "mechanics/assessment.py",
        "pricing/proposals/remedies.py",
        "papers/steps.py",
        "papers/steps.py",
    ]


def test_a_kind_that_is_judged_on_one_part_alone_is_told_the_others(monkeypatch):
    monkeypatch.setitem(questions._KINDS, Element.CANOPY, (FindingKind.BURST,))

    told = " ".join(missing(FindingKind.BURST))
    assert "how dangerous it is on SAILCLOTH" in told
    assert "what mends it on canopy" in told
