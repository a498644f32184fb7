import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shoprepair.gear.diagram import Pin, draw, pins_alone, regions
from shoprepair.gear.diagram.pins import Placed, band_class, place
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.mechanics.description import Band
from tests.gear.conftest import NAMES, Library


def overlapping(placed: list[Placed]) -> list[tuple[int, int]]:
    return [
        (a.pin.number, b.pin.number)
        for i, a in enumerate(placed)
        for b in placed[i + 1 :]
        if a.box.overlaps(b.box)
    ]


def inside(placed: list[Placed], sheet: View) -> bool:
    return all(sheet.holds(p.box.left, p.box.top, p.box.right, p.box.bottom) for p in placed)


@pytest.mark.parametrize("name", NAMES)
def test_forty_pins_keep_clear_of_one_another_and_stay_on_the_sheet(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    found = regions(planform)
    pins = [
        Pin(n + 1, found[n * 7 % len(found)].x_m + 0.01 * n, found[n * 7 % len(found)].y_m) for n in range(40)
    ]
    sheet = view(shape(planform))
    placed = place(pins, sheet)
    assert len(placed) == 40
    assert overlapping(placed) == []
    assert inside(placed, sheet)


def test_forty_pins_on_one_spot_still_find_room(holm: Planform) -> None:
    sheet = view(shape(holm))
    placed = place([Pin(n, 0.0, 0.0) for n in range(1, 41)], sheet)
    assert overlapping(placed) == []
    assert inside(placed, sheet)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.floats(-1.8, 1.8), st.floats(-0.12, 1.9)), max_size=40))
def test_wherever_pins_are_their_tags_find_room(holm: Planform, at: list[tuple[float, float]]) -> None:
    sheet = view(shape(holm))
    placed = place([Pin(n, x, y) for n, (x, y) in enumerate(at, 1)], sheet)
    assert overlapping(placed) == []
    assert inside(placed, sheet)


def test_one_pin_alone_hangs_its_tag_above(holm: Planform) -> None:
    (only,) = place([Pin(1, 0.3, 0.6)], view(shape(holm)))
    assert only.box.bottom < 0.6
    assert only.box.left < 0.3 < only.box.right


def test_the_same_pins_are_placed_the_same_whatever_their_order(skarv: Planform) -> None:
    pins = [Pin(n, 0.1 * n, 0.3) for n in range(1, 9)]
    sheet = view(shape(skarv))
    assert place(pins, sheet) == place(pins[::-1], sheet)


def test_the_knot_marks_the_very_point(holm: Planform) -> None:
    drawing = draw(holm, pins=[Pin(7, 0.321, 0.654, Band.GROUNDED, "Damage 7, a cut")])
    assert '<circle cx=".321" cy=".654"' in drawing
    assert 'data-pin="7"' in drawing
    assert 'aria-label="Damage 7, a cut"' in drawing


def test_a_pin_with_an_address_is_a_link(holm: Planform) -> None:
    drawing = draw(holm, pins=[Pin(1, 0.3, 0.1, Band.WATCH, "One", href="#damage-1")])
    assert '<a href="#damage-1" class="pin-link">' in drawing


@pytest.mark.parametrize(("band", "class_"), [(Band.REPAIR_FIRST, "repair-first"), ("", "unknown")])
def test_bands_become_classes(band: Band | str, class_: str) -> None:
    assert band_class(band) == class_


def test_a_crowd_whose_own_places_are_all_taken_is_tagged_elsewhere_on_the_sheet() -> None:
    """On a sheet as low as this nothing near one point is free for so many."""
    sheet = View(-1, -0.15, 2, 0.3)
    placed = place([Pin(n, 0.9, 0.0) for n in range(1, 25)], sheet)
    assert overlapping(placed) == []
    assert inside(placed, sheet)
    assert [each for each in placed if each.box.right < 0.5]


def test_pins_that_travel_alone_are_those_of_the_whole_drawing(drawn: Library) -> None:
    planform = drawn[NAMES[0]].planform
    middles = regions(planform)[:5]
    pins = [Pin(n, part.x_m, part.y_m, Band.WATCH) for n, part in enumerate(middles, start=1)]
    alone = pins_alone(planform, pins, unique="desk")
    group = alone.removeprefix('<svg xmlns="http://www.w3.org/2000/svg">').removesuffix("</svg>")
    assert group.startswith('<g id="desk-pins">')
    assert group in draw(planform, pins=pins, region_links=lambda part: f"#{part.id}", unique="desk")


def test_a_drawing_to_tap_has_a_place_for_its_first_pin(drawn: Library) -> None:
    planform = drawn[NAMES[0]].planform
    assert '<g id="desk-pins"/>' in draw(planform, region_links=lambda part: f"#{part.id}", unique="desk")
