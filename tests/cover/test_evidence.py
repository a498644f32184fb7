"""What speaks for and against: each thing by its name, and in words that a customer can read."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from shoprepair.cover import footprints
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.evidence import Evidence, Later, Repaired, age_words, weigh
from shoprepair.cover.footprints import Footprint
from shoprepair.cover.layers import layers
from shoprepair.cover.meeting import meet
from shoprepair.mechanics.description import Answer, Direction, Element, Face
from shoprepair.shop.units import Units, say
from tests.cover.cloth import WING, damage, patch, place, seam_layup

ON = date(2026, 6, 1)


def repair(footprint: Footprint | None = None, **figures: Any) -> Repaired:
    known = {"number": 12, "kind": "cut", "on": date(2024, 1, 10), "until": None, "ended": ""}
    return Repaired(footprint=footprint or patch(), **(known | figures))


def weighed(of: DamageView, held: Repaired | None = None, pumped: Answer = Answer.NO) -> dict[str, Evidence]:
    held = held or repair()
    found = weigh(held, meet(WING, held.footprint, of), Later(damage=of, on=ON, over_pressure=pumped))
    assert all(say(each.sentence, Units()) for each in found)
    return {each.key: each for each in found}


def speaks(found: dict[str, Evidence], key: str) -> str:
    return found[key].speaks if key in found else "not said"


def test_a_tear_inside_the_patch_speaks_for_it() -> None:
    found = weighed(damage())
    assert (speaks(found, "inside"), speaks(found, "cut-through")) == ("for", "not said")


def test_a_cut_speaks_against_it_and_says_through_how_many_rows() -> None:
    across = damage("cut", length_m=0.2)
    found = weighed(across)
    assert speaks(found, "cut-through") == "against"
    assert "2 rows" in found["cut-through"].sentence.text


@pytest.mark.parametrize("kind", ["hole", "scuff", "residue"])
def test_what_came_from_outside_or_lies_on_the_cloth_speaks_against_it(kind: str) -> None:
    assert any(each.speaks == "against" for each in weighed(damage(kind)).values())


def test_a_tear_along_the_stitches_speaks_for_it() -> None:
    at = damage(length_m=0.03, direction=Direction.AROUND)
    beside = footprints.of(
        WING,
        damage("seam opened", place(station=0.25)),
        "seam",
        seam_layup(0.2),
        operation="segment-seam-resew",
    )
    along = replace(at, place=place(station=0.267))
    assert speaks(weighed(along, repair(beside)), "stitch-row") == "for"


def test_beside_it_the_distance_is_told_and_speaks_for_nobody() -> None:
    found = weighed(damage(at=place(station=0.346), length_m=0.01))
    assert speaks(found, "borders") == "neither"
    assert "mm beyond the repair's edge" in say(found["borders"].sentence, Units())
    assert speaks(weighed(damage(at=place(station=0.7))), "misses") == "against"


def test_the_mirror_place_of_a_burst_is_only_to_be_looked_at() -> None:
    left = damage("burst", place(side="left"), length_m=None)
    found = weighed(left, repair(kind="burst"))
    assert (speaks(found, "mirror-after-burst"), speaks(found, "misses")) == ("neither", "against")
    assert speaks(weighed(left, repair(kind="cut")), "mirror-after-burst") == "not said"


def test_pressure_speaks_against_it_when_it_was_too_high_and_is_asked_for_when_nobody_said() -> None:
    burst = damage("burst")
    assert speaks(weighed(burst, pumped=Answer.YES), "over-pressure") == "against"
    assert speaks(weighed(burst, pumped=Answer.NO), "over-pressure") == "not said"
    assert speaks(weighed(burst, pumped=Answer.UNKNOWN), "over-pressure") == "neither"
    assert speaks(weighed(damage(), pumped=Answer.UNKNOWN), "over-pressure") == "not said"


def test_the_makers_seam_beside_it_speaks_against_it_and_a_seam_sewn_anew_does_not() -> None:
    opened = damage("seam opened", place(station=0.25), direction=Direction.UNKNOWN)
    beside = patch(damage(at=place(station=0.34)))
    assert speaks(weighed(opened, repair(beside)), "maker-seam") == "against"
    sewn = footprints.of(WING, opened, "seam", seam_layup(), operation="segment-seam-resew")
    again = weighed(opened, repair(sewn, kind="seam opened"))
    assert (speaks(again, "maker-seam"), speaks(again, "inside")) == ("not said", "for")


def test_the_load_there_is_told_and_speaks_for_it_when_the_patch_is_too_weak() -> None:
    torn = damage(demand_n_per_m=9_000.0, load_ratio=0.8)
    assert speaks(weighed(torn, repair(strength_n_per_m=30_000.0)), "load") == "neither"
    assert speaks(weighed(torn, repair(strength_n_per_m=8_000.0)), "load") == "for"
    short = repair(strength_n_per_m=15_000.0, required_n_per_m=20_000.0)
    assert speaks(weighed(torn, short), "short") == "for"
    assert speaks(weighed(torn), "load-ratio") == "neither"
    nothing_left = weighed(replace(torn, load_ratio=float("inf")))
    assert "Nothing is left" in nothing_left["load-ratio"].sentence.text


def test_what_gives_way_soon_speaks_for_it() -> None:
    assert speaks(weighed(damage()), "age") == "neither"
    assert speaks(weighed(damage(), repair(on=date(2026, 5, 1))), "age") == "for"


def test_a_cover_that_no_longer_stands_says_why() -> None:
    over = weighed(damage(), repair(until=date(2025, 12, 31)))
    assert "31 December 2025" in over["terms-over"].sentence.text
    assert speaks(weighed(damage(), repair(until=ON)), "terms-over") == "not said"
    assert speaks(weighed(damage(), repair(ended="void")), "terms-over") == "against"
    assert speaks(weighed(damage(), repair(ended="replaced")), "replaced") == "against"


def test_the_same_place_in_another_layer_speaks_against_it() -> None:
    assert speaks(weighed(damage("leak")), "other-layer") == "against"
    film = footprints.of(WING, damage("leak"), "bladder", {}, operation="bladder-patch")
    assert speaks(weighed(damage("leak"), repair(film)), "other-layer") == "not said"
    assert layers(damage("burst")) == {"casing", "bladder"}
    assert layers(damage("cut", through_bladder=Answer.YES)) == {"casing", "bladder"}
    assert layers(damage(at=place(Element.WINDOW))) == {"canopy"}


def test_where_nobody_said_the_side_it_says_what_the_other_would_be() -> None:
    found = weighed(damage(at=place(face=Face.UNKNOWN)))
    assert "on the other it is" in found["face-unknown"].sentence.text


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "0 days"),
        (1, "1 day"),
        (45, "45 days"),
        (70, "2 months"),
        (400, "1 year and 1 month"),
        (3 * 366, "3 years"),
        (30 * 365 + 200, "30 years"),
    ],
)
def test_ages_are_said_as_people_say_them(days: int, words: str) -> None:
    assert age_words(days) == words
