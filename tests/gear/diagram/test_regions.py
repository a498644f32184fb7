import pytest

from shoprepair.gear.diagram import regions
from shoprepair.gear.geometry import resolve
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Element
from tests.gear.conftest import NAMES, Library


@pytest.mark.parametrize("name", NAMES)
def test_each_regions_middle_lies_on_it(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    for region in regions(planform):
        spot = resolve(planform, region.x_m, region.y_m)
        assert (spot.region, spot.place.element) == (region.id, region.element)


@pytest.mark.parametrize("name", NAMES)
def test_each_region_has_a_name_of_its_own(drawn: Library, name: str) -> None:
    found = regions(drawn[name].planform)
    assert len({region.id for region in found}) == len(found)
    assert len({region.label for region in found}) == len(found)
    assert all(region.label[0].isupper() for region in found)


@pytest.mark.parametrize("name", NAMES)
def test_every_tap_on_the_gear_falls_on_a_region_of_the_drawing(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    ids = {region.id for region in regions(planform)}
    for region in regions(planform):
        for dx in (-0.02, 0.0, 0.02):
            assert resolve(planform, region.x_m + dx, region.y_m).region in ids


def test_a_wing_shows_all_its_parts(lunde: Planform) -> None:
    elements = {region.element for region in regions(lunde)}
    assert elements == {
        Element.LEADING_EDGE,
        Element.STRUT,
        Element.CANOPY,
        Element.WINDOW,
        Element.TRAILING_EDGE,
        Element.HANDLE,
        Element.VALVE,
    }


def test_a_kite_shows_its_bridle_points_on_both_sides(skarv: Planform) -> None:
    points = [region.label for region in regions(skarv) if region.element is Element.BRIDLE_POINT]
    assert len(points) == 2 * len(skarv.bridle_stations)
    assert "Second bridle point left" in points


def test_labels_are_what_the_shop_would_say(skarv: Planform, holm: Planform) -> None:
    labels = {region.id: region.label for region in (*regions(skarv), *regions(holm))}
    assert labels["edge-left-2"] == "Leading edge left, second segment from the centre"
    assert labels["strut-right-2"] == "Second strut right"
    assert labels["handle-1"] == "Front handle"
    assert labels["window-left-0-1"] == "Window between the centre strut and the left tip, middle row"
