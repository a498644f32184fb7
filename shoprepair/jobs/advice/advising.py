"""From a damage as it was told to the advice: the rule that answers it, its figures, what was not known."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shoprepair.gear import describe, everyday
from shoprepair.jobs.advice.rules import RULES, Rule
from shoprepair.jobs.advice.seen import Seen
from shoprepair.jobs.advice.table import decide
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.advice.verdicts import Verdict
from shoprepair.mechanics.assessment import assess
from shoprepair.mechanics.description import (
    DEFAULT_CASES,
    Assessment,
    Element,
    FindingKind,
    LoadCases,
    Pattern,
    Place,
)
from shoprepair.shop.settings import cases as shop_cases

UNSURE_OF_SIZE = _("You are not sure of the size. We take the largest, since its tubes carry most.")
UNSURE_OF_LENGTH = _("You are not sure of the length. We take it as long.")
UNTRIED_FOLD = _("You have not tried the fold test. We take it as folding to a sharp edge.")
UNSURE_OF_AIR = _("You are not sure how fast it goes soft. We take it as within minutes.")
UNSURE_OF_DISTANCE = _("You are not sure how far a shop is. We take one as near.")
DOUBLED = _("We cannot see from here whether the cloth is doubled. We take it as single.")
DIRECTION = _("We have not asked which way it runs. We take the worse way.")
_OPENED = (FindingKind.CUT, FindingKind.HOLE)
_TUBES = (Element.LEADING_EDGE, Element.STRUT)


@dataclass(frozen=True, kw_only=True, slots=True)
class Advice:
    """What the self-check answers. Texts are translated when they are written out."""

    verdict: Verdict
    rule: Rule
    reason: Promise
    """May hold {length} and {runs_at}; whatever it holds stands below."""
    why: str
    """Why the table chose this rule, for the shop."""
    assessment: Assessment | None
    """The shop's own, with wind, doublings and all; None where it cannot be judged."""
    length_m: float | None
    runs_at_m: float | None
    """Length from which a cut here rips on by air alone on a hot beach; None where that says nothing."""
    unknown: tuple[Promise, ...]
    """Every answer that is missing and was taken as the worse, a sentence each."""
    asked_ratio: float | None
    """What air alone asks of the damaged tube over what it still holds; None away from tubes."""


def advise(pattern: Pattern, place: Place, told: Told, cases: LoadCases = DEFAULT_CASES) -> Advice:
    """Advice on a damage at a place of a pattern. `told` must be complete as far as its look needs.

    Raises ValueError with a sentence where the part cannot have that look.
    """
    seen = Seen(pattern, place, told, cases)
    row = decide(seen)
    rule, air = RULES[row.rule], seen.by_air
    opened = seen.finding.kind is not FindingKind.SCUFF
    return Advice(
        verdict=rule.verdict,
        rule=rule,
        reason=rule.reason,
        why=row.why,
        assessment=_assessed(seen),
        length_m=told.length_m,
        runs_at_m=air.run_length_m if air and opened else None,
        unknown=_unknown(seen),
        asked_ratio=air.load_ratio if air else None,
    )


def advise_told(told: Told) -> Advice:
    """Advice by the everyday pattern and the shop's own load cases: what every surface shows.

    Raises ValueError while an answer is missing that the advice needs.
    """
    if name := told.missing():
        raise ValueError(f"Say {name} first.")
    pattern = everyday.pattern(told.gear)
    place, *_pin = told.place(describe.planform(pattern))
    return advise(describe.description(pattern), place, told, shop_cases())


def _assessed(seen: Seen) -> Assessment | None:
    try:
        return assess(seen.pattern, seen.place, seen.finding, seen.cases)
    except ValueError:
        return None


def _unknown(seen: Seen) -> tuple[Promise, ...]:
    told, on_a_tube = seen.told, seen.place.element in _TUBES
    said = {
        UNSURE_OF_SIZE: told.size == everyday.UNSURE,
        UNSURE_OF_LENGTH: told.length == "unsure",
        UNTRIED_FOLD: told.fold == "untried",
        UNSURE_OF_AIR: told.softens == "unsure",
        UNSURE_OF_DISTANCE: told.far == "unsure",
        DIRECTION: on_a_tube and seen.finding.kind is FindingKind.CUT,
        DOUBLED: on_a_tube and seen.finding.kind in _OPENED,
    }
    return tuple(sentence for sentence, holds in said.items() if holds)
