from itertools import pairwise
from math import hypot

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shoprepair.gear.geometry import NEAR_M, OffTheDrawing, Point, planform_area, point, resolve, silhouette
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.mechanics.description import Element
from tests.gear.conftest import KITES, NAMES, WINGS, Library

MILLIMETRE = 0.001
shares = st.floats(-1, 1, allow_nan=False)
thorough = settings(
    max_examples=50, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def over_the_sheet(planform: Planform, across: float, down: float) -> Point:
    """A point of a rectangle a hand wider than the inflatable."""
    deepest = max(p.y_m for p in silhouette(planform))
    return Point(across * (planform.half_span_m + 0.25), deepest / 2 + down * (deepest / 2 + 0.25))


def distance(a: Point, b: Point) -> float:
    return hypot(a.x_m - b.x_m, a.y_m - b.y_m)


@pytest.mark.parametrize("name", NAMES)
@thorough
@given(shares, shares)
def test_a_pin_comes_back_from_its_place_to_the_millimetre(
    drawn: Library, name: str, across: float, down: float
) -> None:
    planform = drawn[name].planform
    tapped = over_the_sheet(planform, across, down)
    try:
        spot = resolve(planform, *tapped)
    except OffTheDrawing:
        return
    kept = Point(spot.x_m, spot.y_m)
    assert distance(point(planform, spot), kept) < MILLIMETRE
    assert distance(kept, tapped) <= NEAR_M
    again = resolve(planform, *kept)
    assert (again.region, again.place.element) == (spot.region, spot.place.element)


@pytest.mark.parametrize("name", NAMES)
@thorough
@given(shares, shares)
def test_left_mirrors_right(drawn: Library, name: str, across: float, down: float) -> None:
    planform = drawn[name].planform
    tapped = over_the_sheet(planform, abs(across), down)
    try:
        right = resolve(planform, *tapped)
    except OffTheDrawing:
        with pytest.raises(OffTheDrawing):
            resolve(planform, *tapped.mirrored())
        return
    left = resolve(planform, *tapped.mirrored())
    if {left.place.element, right.place.element} & {Element.VALVE, Element.HOSE}:
        return  # fittings have no twin on the other side
    assert left.place.side == {"right": "left", "centre": "centre"}[right.place.side]
    assert left.place.element == right.place.element
    assert left.place.station == pytest.approx(right.place.station, abs=1e-9)
    assert left.place.fraction == pytest.approx(right.place.fraction, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
@thorough
@given(st.floats(0, 1), st.sampled_from(["left", "right"]))
def test_every_station_of_a_leading_edge_lies_on_it(
    drawn: Library, name: str, station: float, side: str
) -> None:
    planform = drawn[name].planform
    line = shape(planform).line
    on = line.at(line.t_at_station(station))
    spot = resolve(planform, on.x_m if side == "right" else -on.x_m, on.y_m)
    assert spot.place.element in {
        Element.LEADING_EDGE,
        Element.BRIDLE_POINT,
        Element.VALVE,
    }
    assert spot.place.station == pytest.approx(station, abs=1e-6)
    assert abs(spot.offset_m) < 1e-6


@pytest.mark.parametrize("name", NAMES)
@thorough
@given(shares, shares)
def test_stations_and_fractions_stay_between_0_and_1(
    drawn: Library, name: str, across: float, down: float
) -> None:
    planform = drawn[name].planform
    try:
        place = resolve(planform, *over_the_sheet(planform, across, down)).place
    except OffTheDrawing:
        return
    assert 0 <= place.station <= 1
    assert -0.002 <= place.fraction <= 1.002


@pytest.mark.parametrize("name", NAMES)
@thorough
@given(st.floats(0, 0.999), st.floats(0.001, 0.5))
def test_a_pin_off_the_edge_snaps_within_a_thumb_and_is_refused_beyond(
    drawn: Library, name: str, t: float, off_m: float
) -> None:
    planform = drawn[name].planform
    line = shape(planform).line
    outside = line.beside(t, -line.radius(t) - off_m)
    if off_m < NEAR_M:
        assert distance(point(planform, resolve(planform, *outside)), outside) == pytest.approx(
            off_m, abs=0.002
        )
    elif off_m > NEAR_M + MILLIMETRE:
        with pytest.raises(OffTheDrawing):
            resolve(planform, *outside)


def test_a_pin_off_the_drawing_is_told_how_far_and_what_to_do(holm: Planform) -> None:
    with pytest.raises(
        OffTheDrawing, match=r"^That point is 0\.\d\d m off the wing\. Tap a part of the drawing\.$"
    ):
        resolve(holm, 1.5, 0.0)


@pytest.mark.parametrize("wild", [float("nan"), float("inf"), -1e9])
def test_a_pin_that_is_no_point_at_all_is_refused(holm: Planform, wild: float) -> None:
    with pytest.raises(OffTheDrawing):
        resolve(holm, wild, 0.0)


@pytest.mark.parametrize("name", NAMES)
def test_the_drawing_covers_the_area_that_the_pattern_claims(drawn: Library, name: str) -> None:
    """Common practice, no source: the named size and the cloth laid flat agree within a tenth."""
    assert planform_area(drawn[name].planform) == pytest.approx(drawn[name].pattern.area_m2, rel=0.10)


@pytest.mark.parametrize("name", NAMES)
def test_the_tube_is_as_thick_as_the_pattern_says(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    for t, thick in (
        (0.0, planform.leading_edge.diameter_root_m),
        (1.0, planform.leading_edge.diameter_tip_m),
    ):
        line = shape(planform).line
        across = distance(line.beside(t, line.radius(t)), line.beside(t, -line.radius(t)))
        assert across == pytest.approx(thick, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_the_tip_lies_where_span_and_sweep_put_it(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    assert distance(shape(planform).line.at(1.0), Point(planform.half_span_m, planform.sweep_m)) < MILLIMETRE


@pytest.mark.parametrize("name", KITES)
def test_a_kite_ends_in_an_upright_tip(drawn: Library, name: str) -> None:
    slope = shape(drawn[name].planform).line.slope(1.0)
    assert abs(slope.x_m) < 1e-9
    assert slope.y_m > 0


@pytest.mark.parametrize("name", WINGS)
def test_a_wing_is_swept_back_more_and_more_toward_its_tips(drawn: Library, name: str) -> None:
    line = shape(drawn[name].planform).line
    steepness = [line.slope(i / 10).y_m for i in range(11)]
    assert steepness == sorted(steepness)
    assert steepness[0] == 0


@pytest.mark.parametrize("name", NAMES)
def test_struts_run_from_the_back_of_the_leading_edge_almost_to_the_trailing_edge(
    drawn: Library, name: str
) -> None:
    of = shape(drawn[name].planform)
    for index in range(len(of.planform.struts)):
        front, back = of.strut_ends(index)
        assert front == pytest.approx(of.rear_y(of.strut_x(index)), abs=MILLIMETRE)
        assert 0.02 < of.trailing_y(of.strut_x(index)) - back < 0.05
        assert back - front > 0.5
        widths = [of.strut_half_width(index, i / 20) for i in range(21)]
        assert widths == sorted(widths, reverse=True)


@pytest.mark.parametrize("name", KITES)
def test_a_kites_trailing_edge_is_hollow_between_its_struts(drawn: Library, name: str) -> None:
    of = shape(drawn[name].planform)
    for low, high in of.cells()[1:]:
        chord = (of.trailing_y(low) + of.trailing_y(high)) / 2
        assert of.trailing_y((low + high) / 2) < chord


@pytest.mark.parametrize("name", NAMES)
def test_the_canopy_is_never_thinner_than_nothing(drawn: Library, name: str) -> None:
    of = shape(drawn[name].planform)
    for i in range(101):
        x = of.reach.x_m * i / 100
        assert of.rear_y(x) < of.trailing_y(x)


@pytest.mark.parametrize("name", NAMES)
def test_the_leading_edge_is_as_long_as_its_curve(drawn: Library, name: str) -> None:
    """Checked against the sum of 20 000 chords."""
    line = shape(drawn[name].planform).line
    points = [line.at(i / 20000) for i in range(20001)]
    summed = sum(distance(a, b) for a, b in pairwise(points))
    assert line.length_m == pytest.approx(summed, rel=1e-4)
    assert line.length_m > drawn[name].planform.half_span_m


def test_what_lies_where_on_a_wing(holm: Planform) -> None:
    assert resolve(holm, 0.3, 0.02).region == "edge-right-2"
    assert resolve(holm, -0.3, 0.02).region == "edge-left-2"
    assert resolve(holm, 0.06, 0.9).place.element is Element.STRUT
    assert resolve(holm, 0.0, 0.6).place.element is Element.HANDLE
    assert resolve(holm, 0.4, 1.0).place.element is Element.WINDOW
    assert resolve(holm, 0.4, 0.4).place.element is Element.CANOPY
    assert resolve(holm, 0.4, shape(holm).trailing_y(0.4) - 0.01).place.element is Element.TRAILING_EDGE


def test_what_lies_where_on_a_kite(skarv: Planform) -> None:
    line = shape(skarv).line
    t = line.t_at_station(skarv.bridle_stations[1])
    assert resolve(skarv, *line.beside(t, -0.7 * line.radius(t))).place.element is Element.BRIDLE_POINT
    spot = resolve(skarv, -shape(skarv).strut_x(1), 1.0)
    assert (spot.place.element, spot.place.strut, spot.place.side) == (Element.STRUT, 1, "left")
    assert resolve(skarv, 0.7, 0.9).cell == 0
    assert resolve(skarv, 2.0, 1.2).cell == 1
    assert resolve(skarv, 2.7, 1.6).cell == 2


def test_the_middle_of_the_leading_edge_is_on_neither_side(holm: Planform) -> None:
    place = resolve(holm, 0.0, 0.0).place
    assert place.side == "centre"
    assert place.station == pytest.approx(0.0, abs=1e-9)
