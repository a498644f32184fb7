from collections import deque

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import regions
from shoprepair.gear.diagram.neighbours import Links, neighbours
from tests.gear.conftest import NAMES, Library

WAYS = {"left", "right", "up", "down"}


def reached(links: Links, start: str) -> set[str]:
    seen, waiting = {start}, deque([start])
    while waiting:
        for there in links[waiting.popleft()].values():
            if there not in seen:
                seen.add(there)
                waiting.append(there)
    return seen


@pytest.mark.parametrize("name", NAMES)
def test_arrow_keys_lead_from_every_region_to_every_other(drawn: Library, name: str) -> None:
    found = regions(drawn[name].planform)
    links = {region.id: dict(region.neighbours) for region in found}
    for start in links:
        assert reached(links, start) == set(links)
        assert set(links[start]) <= WAYS
        assert start not in links[start].values()


@pytest.mark.parametrize("name", NAMES)
def test_right_of_a_segment_comes_the_next_segment_or_what_sits_on_it(drawn: Library, name: str) -> None:
    found = {region.id: region for region in regions(drawn[name].planform)}
    for region in found.values():
        if "right" in region.neighbours and not region.id.startswith(("bridle", "inflation", "dump", "hose")):
            assert found[region.neighbours["right"]].x_m > region.x_m - 0.35


def test_the_centre_of_a_wing_is_crossed_by_one_key(drawn: Library) -> None:
    found = {region.id: region for region in regions(drawn["Alke 2.5 wing"].planform)}
    assert found["edge-left-1"].neighbours["right"] == "edge-right-1"
    assert found["edge-right-1"].neighbours["left"] in {"edge-left-1", "inflation-1"}
    assert found["edge-left-2"].neighbours["left"] == "edge-left-3"


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-4, 4), st.floats(0, 2)), min_size=1, max_size=24))
def test_however_regions_lie_none_is_lost(middles: list[tuple[float, float]]) -> None:
    links = neighbours({f"r{i}": Point(*middle) for i, middle in enumerate(middles)})
    for start in links:
        assert reached(links, start) == set(links)
