"""The tree of answers that a phone keeps: the shop's own answers, all of them, and small."""

import gzip
import json
from dataclasses import replace

import pytest

from shoprepair.gear import everyday
from shoprepair.gear.diagram.regions import regions
from shoprepair.gear.named_places import code_at
from shoprepair.jobs.advice import advise_told
from shoprepair.jobs.advice.told import Told
from shoprepair.portal.self_check import kept, tree
from shoprepair.shop.units import Units
from tests import shelves

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _patterns() -> None:
    shelves.patterns()


def test_every_way_down_the_tree_ends_in_the_advice_that_the_shop_gives():
    grown = tree.tree()
    ways = list(tree.ways(grown.root))
    with everyday.read_once():
        unlike = [told.code() for told, end in ways if tree.outcome(advise_told(told)) != grown.outcomes[end]]
    assert len(ways) > 1000
    assert unlike == []


def test_every_size_of_wing_and_kite_is_in_the_tree_with_every_place_that_it_has():
    question, kinds = tree.tree().root
    assert (question, set(kinds)) == ("kind", {"wing", "kite"})
    for _question, sizes in kinds.values():
        assert set(sizes) == {"small", "medium", "large", "unsure"}
    assert "front-centre" in kinds["wing"][1]["small"][1]


def test_the_tree_is_a_small_load_for_a_phone_with_poor_signal():
    packed = gzip.compress(json.dumps(kept.page(Units())["tree"]).encode())
    assert len(packed) < 40_000


def test_a_phone_that_knows_a_place_by_name_alone_is_never_milder_than_the_shop_at_the_exact_point():
    told = Told(kind="kite", size="small", look="cut", length="nail", far="far")
    drawn = everyday.planform(told.gear)
    fronts = [part for part in regions(drawn) if code_at(drawn, part.x_m, part.y_m).startswith("front")]
    assert fronts
    with everyday.read_once():
        for part in fronts:
            exact = replace(told, at=f"{part.x_m:.2f},{part.y_m:.2f}")
            named = replace(told, at=code_at(drawn, part.x_m, part.y_m))
            assert _verdict(named) >= _verdict(exact), part.id


def _verdict(told: Told) -> int:
    return advise_told(told if "far" in told.asked() else replace(told, far="")).verdict
