"""What a shop will probably charge for a damage that only its owner has seen: the least and the most.

Reckoned from the catalogue's typical cases. Tax is in it, since that is what a person pays. It is no quote.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from django.utils.translation import gettext as _

from shoprepair.gear import everyday
from shoprepair.jobs.advice.common_words import FILM_COSTS
from shoprepair.jobs.advice.looks import Look
from shoprepair.jobs.advice.rules import RULES
from shoprepair.jobs.advice.told import LENGTHS, Told
from shoprepair.mechanics.description import (
    SAILCLOTH,
    Answer,
    Element,
    Face,
    Finding,
    FindingKind,
    Fold,
    Place,
    Softens,
)
from shoprepair.pricing import rough_words, rules, typical
from shoprepair.pricing.models import Operation, PriceRules
from shoprepair.pricing.money import rounded, say, step_for
from shoprepair.pricing.proposals.asked import TEAR_WHERE_UNMEASURED_M
from shoprepair.pricing.proposals.remedies import LONG_CUT_M, Remedy, Situation, remedies
from shoprepair.shop import settings

_ENDS = [0.0, *(end for end in LENGTHS.values() if end)]
LEAST_M = dict(zip(LENGTHS, _ENDS, strict=False))
"""The shortest that a damage may be whose length was told by comparison: longer than what comes before it."""
STEP = Decimal(5)
"""A range is named in whole steps, outward: the catalogue does not know this damage to the cent."""
CUT_WHERE_UNMEASURED_M = LONG_CUT_M - 0.05
SCRAPE_WHERE_UNMEASURED_M = 0.190
"""Nobody is asked how long a scrape is: a hand's length at most."""
SOME_STITCHING_M = 0.01
NOUGHT = Decimal(0)
FILM = ("stretch-patch-peel", "stretch-patch-cut-out")
Operations = dict[str, Operation]
_NO_CENTS = re.compile(r"[.,]00(?!\d)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """From what to what a repair usually costs, tax included, in whole steps."""

    low: Decimal
    """Where all that nobody could say turns out well and the cheaper way is taken."""
    high: Decimal
    """Where it turns out badly and the way is taken that the shop advises."""
    currency: str
    what: tuple[str, ...]
    """What is done, for the most of it, in plain words of the reader's language."""

    @property
    def said(self) -> str:
        """'$75 to $160', as the reader's language writes it."""
        low, high = (_whole(each, self.currency) for each in (self.low, self.high))
        return low if low == high else _("{low} to {high}").format(low=low, high=high)

    @property
    def kept(self) -> dict[str, str]:
        """The range as it is kept beside an enquiry."""
        return {"low": str(self.low), "high": str(self.high), "currency": self.currency}


def charge(told: Told) -> Charge | None:
    """The range for a damage as its owner told it; None where the catalogue has nothing for it.

    Five statements beside the everyday pattern's own, none of which writes.
    """
    place, *_point = told.place(everyday.planform(told.gear))
    if told.look == Look.CLOUDY:
        # Nobody cleans a pane clear again: whoever wants to see through it gets a new one.
        return between(place, Finding(kind=FindingKind.CRACK), tape_holds=False)
    return between(place, told.finding(), least_m=LEAST_M.get(told.length))


def later_extra(rule_code: str) -> Charge | None:
    """What a stretch film patch adds to the later repair, where a rule of the advice warns of it; else None.

    At the least it peels off, at the most its cloth is cut out with it; less what the damage costs clean.
    """
    rule = RULES.get(rule_code)
    there = _operations(("canopy-tape", *FILM)) if rule and FILM_COSTS in rule.later else {}
    if len(there) < 1 + len(FILM):
        return None
    price_rules, shop = rules.current(), settings.current()
    step = step_for(price_rules.rounding, shop.currency)
    clean, *filmed = (_total([there[code]], price_rules, step) for code in ("canopy-tape", *FILM))
    extras = [max(each - clean, NOUGHT) for each in filmed]
    return Charge(
        low=_outward(min(extras), ROUND_FLOOR),
        high=_outward(max(extras), ROUND_CEILING),
        currency=shop.currency,
        what=tuple(_in_words([there[code] for code in FILM])),
    )


def between(
    place: Place, finding: Finding, *, least_m: float | None = None, tape_holds: bool = True
) -> Charge | None:
    """The range for a finding at a place; None where the catalogue has nothing for it.

    least_m: the shortest that the damage may be, where its length was told by comparison.
    tape_holds: False where the cloth is known to pull too hard for tape.
    """
    best = remedies(_hopeful(place, finding, least_m, tape_holds))
    worst = remedies(_fearful(place, finding, tape_holds))
    there = _operations({remedy.code for remedy in (*best, *worst)})
    price_rules, shop = rules.current(), settings.current()
    least = _cheapest([each for each in best if each.code in there], there, price_rules)
    most = _advised([each for each in worst if each.code in there])
    if not least or not most:
        return None
    step = step_for(price_rules.rounding, shop.currency)
    sums = [_total([there[code] for code in codes], price_rules, step) for codes in (least, most)]
    return Charge(
        low=_outward(min(sums), ROUND_FLOOR),
        high=_outward(max(sums), ROUND_CEILING),
        currency=shop.currency,
        what=tuple(_in_words([there[code] for code in most])),
    )


def _hopeful(place: Place, finding: Finding, least_m: float | None, tape_holds: bool) -> Situation:
    """Every answer that nobody could give, taken as the better."""
    found = _situation(place, finding, tape_holds)
    return replace(
        found,
        taken_m=(finding.length_m or 0.0) if least_m is None else least_m,
        through_bladder=Answer.NO if found.through_bladder is Answer.UNKNOWN else found.through_bladder,
        fold=Fold.ROUND if found.fold is Fold.UNTRIED else found.fold,
        softens=Softens.DAY if found.softens is Softens.UNKNOWN else found.softens,
        face=Face.BACK if found.face is Face.UNKNOWN else found.face,
        stitched_left_m=found.stitched_left_m if found.stitched_left_m is not None else SOME_STITCHING_M,
    )


def _fearful(place: Place, finding: Finding, tape_holds: bool) -> Situation:
    """Every answer that nobody could give, taken as the worse: the table of remedies does it itself.

    Whether tape alone holds on a canopy a shop says with the cloth on its table; a small pane it tapes.
    """
    found = _situation(place, finding, tape_holds and place.element is Element.WINDOW)
    taken = _unmeasured(place, finding) if finding.length_m is None else finding.length_m
    return replace(found, taken_m=taken)


def _unmeasured(place: Place, finding: Finding) -> float:
    if finding.kind is FindingKind.SCUFF:
        return SCRAPE_WHERE_UNMEASURED_M
    return TEAR_WHERE_UNMEASURED_M if place.element in SAILCLOTH else CUT_WHERE_UNMEASURED_M


def _situation(place: Place, finding: Finding, tape_holds: bool) -> Situation:
    return Situation(
        element=place.element,
        kind=finding.kind,
        on_strut=place.strut is not None,
        length_m=finding.length_m,
        fold=finding.fold,
        face=place.face,
        through_bladder=finding.through_bladder,
        softens=finding.softens,
        stitched_left_m=finding.stitched_left_m,
        fraction=place.fraction,
        tape_holds=tape_holds and place.element in SAILCLOTH,
    )


def _operations(codes: Iterable[str]) -> Operations:
    rows = Operation.objects.filter(code__in=codes, active=True).prefetch_related("materials__material")
    return {row.code: row for row in rows}


def _advised(found: Sequence[Remedy]) -> list[str]:
    """What the shop advises; where it advises nothing, what it offers."""
    advised: dict[str, str] = {}
    for remedy in sorted(found, key=lambda each: not each.preferred):
        if remedy.preferred or remedy.choice:
            advised.setdefault(remedy.choice or remedy.code, remedy.code)
    return list(advised.values()) or [remedy.code for remedy in found]


def _cheapest(found: Sequence[Remedy], there: Operations, price_rules: PriceRules) -> list[str]:
    """What it cannot do without, and of every choice the cheapest."""
    needed = [remedy for remedy in found if not remedy.optional] or list(found)

    def price(remedy: Remedy) -> Decimal:
        return typical.case(there[remedy.code], price_rules).price

    fixed = [remedy.code for remedy in needed if not remedy.choice]
    choices = dict.fromkeys(remedy.choice for remedy in needed if remedy.choice)
    return fixed + [
        min((each for each in needed if each.choice == choice), key=price).code for choice in choices
    ]


def _total(operations: Sequence[Operation], price_rules: PriceRules, step: Decimal) -> Decimal:
    """All typical cases together with one opening for all, at least the minimum charge, and the tax."""
    cases = [typical.case(operation, price_rules) for operation in operations]
    work = sum((rounded(case.work + case.materials, step) for case in cases), NOUGHT)
    opening = rounded(max(case.opening_minutes for case in cases) * price_rules.hourly_rate / 60, step)
    net = max(work + opening, rounded(price_rules.minimum_charge, step))
    return net + rounded(net * price_rules.tax_percent / 100, step)


def _whole(amount: Decimal, currency: str) -> str:
    """'$75': a range is named without cents."""
    return _NO_CENTS.sub("", say(amount, currency))


def _outward(amount: Decimal, how: str) -> Decimal:
    return (amount / STEP).quantize(Decimal(1), how) * STEP


def _in_words(operations: Sequence[Operation]) -> list[str]:
    said = [str(rough_words.OPENING)] if any(row.needs_opening for row in operations) else []
    return [*dict.fromkeys(said + [str(rough_words.WORDS.get(row.code, row.name)) for row in operations])]
