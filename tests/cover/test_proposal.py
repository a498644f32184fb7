"""From evidence to a proposal: one table of rules, tried case by case."""

from datetime import date
from typing import Any

import pytest

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.evidence import Later, Repaired, weigh
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.meeting import meet
from shoprepair.cover.proposal import RULES, Held, Proposal, propose
from shoprepair.mechanics.description import Answer, Direction, Element, Face, Sentence
from tests.cover.cloth import WING, damage, patch, place

ON = date(2026, 6, 1)


def held(
    of: DamageView,
    footprint: Footprint | None = None,
    number: int = 12,
    pumped: Answer = Answer.NO,
    **figures: Any,
) -> Held:
    known = {"kind": "cut", "on": date(2024, 1, 10), "until": None, "ended": ""}
    repair = Repaired(number=number, footprint=footprint or patch(), **(known | figures))
    meeting = meet(WING, repair.footprint, of)
    later = Later(damage=of, on=ON, over_pressure=pumped)
    return Held(cover=number, meeting=meeting, evidence=weigh(repair, meeting, later))


def proposed(of: DamageView, **figures: Any) -> Proposal:
    return propose([held(of, **figures)])


ALONG_A_ROW = {"at": place(station=0.3287), "direction": Direction.AROUND, "length_m": 0.03}
FAR = {"at": place(station=0.8)}
BESIDE = {"at": place(station=0.342), "length_m": 0.01}


@pytest.mark.parametrize(
    ("of", "figures", "kind"),
    [
        (damage("tear"), {}, "ours"),
        (damage("burst", length_m=0.05), {}, "ours"),
        (damage("tear", **ALONG_A_ROW), {}, "ours"),
        (damage("cut", **ALONG_A_ROW), {}, "owner"),
        (damage("cut"), {}, "new"),
        (damage("hole"), {}, "new"),
        (damage("scuff"), {}, "new"),
        (damage("stain"), {}, "new"),
        (damage("leak"), {}, "new"),
        (damage("burst", length_m=0.05), {"pumped": Answer.YES}, "owner"),
        (damage("tear", length_m=0.5), {}, "owner"),
        (damage("tear", length_m=0.5), {"strength_n_per_m": 15e3, "required_n_per_m": 20e3}, "ours"),
        (damage("tear", place(face=Face.UNKNOWN)), {}, "owner"),
        (damage("tear", place(face=Face.UNDERSIDE)), {}, "new"),
        (damage("tear", **BESIDE), {}, "owner"),
        (damage("tear", **FAR), {}, "new"),
        (damage("tear", place(Element.CANOPY, fraction=0.3)), {}, "new"),
        (damage("burst", place(side="left"), length_m=None), {"kind": "burst"}, "owner"),
        (damage("burst", place(side="left"), length_m=None), {"kind": "cut"}, "new"),
        (damage("tear"), {"until": date(2025, 1, 1)}, "new"),
        (damage("tear"), {"ended": "replaced"}, "new"),
        (damage(""), {}, "owner"),
    ],
)
def test_each_case_is_proposed_as_the_trade_would(of: DamageView, figures: dict[str, Any], kind: str) -> None:
    found = proposed(of, **figures)
    assert (found.kind, found.cover) == (kind, 12)
    assert found.reasons[0].text in {rule.reason for rule in RULES}


def test_of_several_covers_the_one_that_is_ours_decides_however_near_the_others() -> None:
    torn = damage("tear", place(station=0.33), length_m=0.02)
    beside = held(torn, patch(damage(at=place(station=0.4))), number=31)
    cut_out = held(torn, number=7, ended="replaced")
    ours = held(torn, patch(torn), number=25)
    assert propose([cut_out, beside, ours]).cover == 25
    assert propose([cut_out, beside]).kind == "new"
    assert propose([]) == Proposal(
        kind="new", reasons=(Sentence("No repair of this gear is under a cover."),), cover=None
    )


def test_the_newer_of_two_repairs_in_one_place_decides() -> None:
    torn = damage("tear")
    assert propose([held(torn, number=3), held(torn, number=9)]).cover == 9


def test_a_proposal_gives_the_rule_first_and_then_what_backs_it() -> None:
    ours, new = proposed(damage("tear")), proposed(damage("cut"))
    assert [sentence.text for sentence in ours.reasons] == [
        "What gave way is the repair itself.",
        "All of it lies inside the repair.",
    ]
    assert "something sharp" in new.reasons[1].text
