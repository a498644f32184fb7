import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram import Pin, draw, pins_alone, regions
from shoprepair.gear.diagram.pins import GROWN, ROOMY, Placed, band_class, place
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


def within(sheet: View) -> st.SearchStrategy[tuple[float, float]]:
    """Any point of a sheet, told in shares of it, so that one and the same does for every pattern."""
    share = st.floats(0, 1)
    return st.tuples(share, share).map(
        lambda at: (sheet.x_m + at[0] * sheet.width_m, sheet.y_m + at[1] * sheet.height_m)
    )


@st.composite
def crowds(draw_one: st.DrawFn, sheet: View) -> list[Pin]:
    """Up to forty pins, strewn over the sheet or thick about a few places."""
    middles = draw_one(st.lists(within(sheet), min_size=1, max_size=5))
    reach = draw_one(st.sampled_from([0.0, 0.01, 0.05, 1.0])) * sheet.width_m
    aside = st.tuples(st.floats(-1, 1), st.floats(-1, 1))
    asides = draw_one(st.lists(aside, max_size=40))
    return [
        Pin(n, middles[n % len(middles)][0] + reach * x, middles[n % len(middles)][1] + reach * y)
        for n, (x, y) in enumerate(asides, 1)
    ]


@pytest.mark.parametrize("name", NAMES[::5])
@pytest.mark.parametrize("grown", [1.0, GROWN])
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_wherever_pins_are_their_tags_find_room(
    drawn: Library, name: str, grown: float, data: st.DataObject
) -> None:
    """Also where a page shows its tags larger, which it does with few."""
    sheet = view(shape(drawn[name].planform))
    pins = data.draw(crowds(sheet))
    if grown > 1:
        pins = pins[:ROOMY]
    placed = place(pins, sheet, grown=grown)
    rooms = [Placed(each.pin, each.room, each.eye, each.room) for each in placed]
    for boxes in (placed, rooms):
        assert overlapping(boxes) == []
        assert inside(boxes, sheet)
    assert placed == place(pins[::-1], sheet, grown=grown)


def covered(placed: list[Placed]) -> list[tuple[int, int]]:
    """Which tag lies on which other's point, points at the very same place left out."""
    return [
        (tag.pin.number, pin.number)
        for tag in placed
        for pin, *_ in placed
        if tag.box.holds(pin.x_m, pin.y_m) and (pin.x_m, pin.y_m) != (tag.pin.x_m, tag.pin.y_m)
    ]


@pytest.mark.parametrize("name", NAMES)
def test_no_tag_hides_anothers_point_where_forty_are_spread_over_the_parts(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    found = regions(planform)
    pins = [Pin(n, (part := found[n * 11 % len(found)]).x_m, part.y_m) for n in range(1, 41)]
    assert covered(place(pins, view(shape(planform)))) == []


@pytest.mark.parametrize("name", NAMES[::4])
def test_a_crowd_at_one_place_hides_none_of_its_points(drawn: Library, name: str) -> None:
    sheet = view(shape(drawn[name].planform))
    step = 0.012 * sheet.width_m
    pins = [Pin(n + 1, step * (n % 4), step * (n // 4)) for n in range(16)]
    assert covered(place(pins, sheet)) == []


def on(value: float, start: float, length: float) -> float:
    """To a tenth of a millimetre, and on the sheet."""
    return round(min(max(value, start + 1e-3), start + length - 1e-3), 4)


NOUGHT = 1e-18
"""Of two areas in m² multiplied: what floats leave where three points lie on one line."""


def crossings(placed: list[Placed]) -> list[tuple[int, int]]:
    lines = [(each.pin.number, Point(each.pin.x_m, each.pin.y_m), each.eye) for each in placed]
    return [
        (one, two)
        for i, (one, a, b) in enumerate(lines)
        for two, c, d in lines[i + 1 :]
        if turns(a, b, c) * turns(a, b, d) < -NOUGHT and turns(c, d, a) * turns(c, d, b) < -NOUGHT
    ]


def turns(a: Point, b: Point, c: Point) -> float:
    return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m)


@pytest.mark.parametrize("name", NAMES)
def test_no_two_threads_cross_where_forty_pins_are_spread_over_the_parts(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    found = regions(planform)
    pins = [Pin(n, (part := found[n * 7 % len(found)]).x_m, part.y_m) for n in range(1, 41)]
    assert crossings(place(pins, view(shape(planform)))) == []


@pytest.mark.parametrize("name", NAMES[::5])
@pytest.mark.parametrize("reach", [0.0, 0.004, 0.02, 0.08, 1.0])
@settings(max_examples=3, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_no_two_threads_cross_however_up_to_forty_pins_crowd(
    drawn: Library, name: str, reach: float, data: st.DataObject
) -> None:
    """At the very same spot, where all threads share an end, in a small patch, and strewn over the sheet."""
    planform = drawn[name].planform
    sheet, part = view(shape(planform)), data.draw(st.sampled_from(regions(planform)))
    aside = st.tuples(st.floats(-1, 1), st.floats(-1, 1))
    far = reach * sheet.width_m
    pins = [
        Pin(
            n,
            on(part.x_m + far * x, sheet.x_m, sheet.width_m),
            on(part.y_m + far * y, sheet.y_m, sheet.height_m),
        )
        for n, (x, y) in enumerate(data.draw(st.lists(aside, min_size=2, max_size=40)), 1)
    ]
    placed = place(pins, sheet)
    assert crossings(placed) == []
    assert overlapping(placed) == []
    assert inside(placed, sheet)


def test_a_pin_set_elsewhere_leaves_the_other_tags_where_they_were(skarv: Planform) -> None:
    sheet = view(shape(skarv))
    pins = [Pin(n, 0.5 * n - 2.4, 0.55) for n in range(1, 8)]
    before = place(pins, sheet, grown=GROWN)
    after = place([*pins, Pin(8, 2.6, 1.2)], sheet, grown=GROWN)
    assert after[:7] == before


def test_a_tag_shown_larger_hangs_on_by_the_same_thread_and_fills_the_room_kept_for_it(
    holm: Planform,
) -> None:
    (only,) = place([Pin(1, 0.3, 0.6)], view(shape(holm)), grown=GROWN)
    grown = only.box.about(only.eye, GROWN)
    assert (grown.left, grown.top) == pytest.approx((only.room.left, only.room.top))
    assert (grown.right, grown.bottom) == pytest.approx((only.room.right, only.room.bottom))
    assert f'transform="translate({only.eye.x_m:.3f}'.replace("(0.", "(.").rstrip("0") in draw(
        holm, pins=[Pin(1, 0.3, 0.6)]
    )


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


def test_pins_without_tags_are_points_alone(holm: Planform) -> None:
    pins = [Pin(n, 0.1 * n, 0.654, Band.GROUNDED) for n in range(1, 4)]
    drawing = draw(holm, pins=pins, detail="paper", tagged=False)
    assert '<circle cx=".3" cy=".654"' in drawing
    assert drawing.count('cy=".654"') == 3
    assert "data-pin" not in drawing
    assert 'class="threads"' not in drawing


def test_the_edges_of_many_tags_are_finer(holm: Planform) -> None:
    def edge(count: int) -> float:
        pins = [Pin(n, 0.02 * n, 0.654, Band.REPAIR_FIRST) for n in range(1, count + 1)]
        rect = draw(holm, pins=pins, detail="paper").rpartition("<rect ")[2]
        wide, high = (
            float(rect.partition(f' {name}="')[2].partition('"')[0]) for name in ("stroke-width", "height")
        )
        return wide / high

    assert edge(40) < 0.6 * edge(12)
