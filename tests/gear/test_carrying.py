from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shoprepair.gear.carrying import NoSuchPart, carried
from shoprepair.gear.geometry import OffTheDrawing, Spot, resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.gear.sites import sites
from shoprepair.mechanics.description import Element
from tests.gear.conftest import NAMES, Library

shares = st.floats(-1, 1, allow_nan=False)
some = settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
TUBES = (Element.LEADING_EDGE, Element.STRUT)


def tapped(planform: Planform, across: float, down: float) -> Spot | None:
    """What lies at shares of the half span and of the chord, where anything does."""
    try:
        return resolve(planform, across * planform.half_span_m, abs(down) * planform.chord_centre_m)
    except OffTheDrawing:
        return None


@some
@given(st.sampled_from(NAMES), st.sampled_from(NAMES), shares, shares)
def test_a_pin_keeps_its_part_its_side_and_its_station_on_another_model(
    drawn: Library, one: str, other: str, across: float, down: float
) -> None:
    old, new = drawn[one].planform, drawn[other].planform
    spot = tapped(old, across, down)
    if spot is None or (spot.place.strut is not None and not new.struts):
        return
    found = carried(old, new, spot.x_m, spot.y_m)
    if spot.place.element in TUBES and spot.place.strut is None:
        assert found.place.element == spot.place.element
        assert found.place.station == pytest.approx(spot.place.station, abs=0.12)
    if spot.place.side != "centre" and found.place.side != "centre":
        assert found.place.side == spot.place.side


@some
@given(st.sampled_from(NAMES), shares, shares)
def test_on_the_same_model_a_pin_stays_where_it_is(
    drawn: Library, name: str, across: float, down: float
) -> None:
    planform = drawn[name].planform
    spot = tapped(planform, across, down)
    if spot is None or spot.place.element not in (*TUBES, Element.CANOPY):
        return
    found = carried(planform, planform, spot.x_m, spot.y_m)
    assert (found.x_m, found.y_m) == pytest.approx((spot.x_m, spot.y_m), abs=0.001)


def test_a_cut_half_way_along_the_centre_strut_stays_half_way_along_it(drawn: Library) -> None:
    wings = [drawn[name].planform for name in NAMES if not drawn[name].planform.is_kite]
    small, large = min(wings, key=lambda w: w.span_m), max(wings, key=lambda w: w.span_m)
    front, back = shape(small).strut_ends(0)
    found = carried(small, large, 0.0, front + 0.9 * (back - front))
    assert (found.place.element, found.place.strut) == (Element.STRUT, 0)
    assert found.place.fraction == pytest.approx(0.9, abs=0.05)


def test_a_model_without_struts_takes_no_pin_from_a_strut(drawn: Library) -> None:
    kite = next(drawn[name].planform for name in NAMES if drawn[name].planform.is_kite)
    bare = replace(kite, struts=(), fittings=(), windows=())
    front, back = shape(kite).strut_ends(0)
    with pytest.raises(NoSuchPart, match="has no strut"):
        carried(kite, bare, shape(kite).strut_x(0), (front + back) / 2)


def test_a_handle_of_a_wing_is_the_strut_of_a_kite_which_has_none(drawn: Library) -> None:
    wing = next(p for name in NAMES if (p := drawn[name].planform).handle_shares)
    kite = next(p for name in NAMES if (p := drawn[name].planform).is_kite and p.struts[0].is_centre)
    front, back = shape(wing).strut_ends(0)
    low, high = wing.handle_shares[0]
    handle = resolve(wing, 0.0, front + (low + high) / 2 * (back - front))
    assert handle.place.element == Element.HANDLE
    assert carried(wing, kite, handle.x_m, handle.y_m).place.element == Element.STRUT


def test_a_tear_in_a_window_stays_as_far_across_and_along_a_window(holm: Planform, lunde: Planform) -> None:
    pane, wider = shape(holm).pane(0, 1), shape(lunde).pane(0, 1)
    x = pane.xs_m[0] + 0.75 * (pane.xs_m[1] - pane.xs_m[0])
    at = pane.fractions[0] + 0.25 * (pane.fractions[1] - pane.fractions[0])
    torn = resolve(holm, -x, shape(holm).chord_y(x, at))
    assert torn.place.element == Element.WINDOW
    found = carried(holm, lunde, torn.x_m, torn.y_m)
    assert (found.place.element, found.place.side) == (Element.WINDOW, torn.place.side)
    assert -found.x_m == pytest.approx(wider.xs_m[0] + 0.75 * (wider.xs_m[1] - wider.xs_m[0]), abs=0.02)
    bare = replace(lunde, windows=())
    assert carried(holm, bare, torn.x_m, torn.y_m).place.element == Element.CANOPY


def test_a_handle_stays_the_handle_at_its_place_and_the_boom_is_held_as_far_along(
    holm: Planform, drawn: Library
) -> None:
    small, rype = drawn["Alke 2.5 wing"].planform, drawn["Rype 7.0 wing"].planform
    for number, (low, high) in enumerate(small.handle_shares, 1):
        front, back = shape(small).strut_ends(0)
        y = front + (low + 0.9 * (high - low)) * (back - front)
        found = carried(small, holm, 0.0, y)
        assert found.region == f"handle-{number}"
        low, high = holm.handle_shares[number - 1]
        front, back = shape(holm).strut_ends(0)
        assert found.y_m == pytest.approx(front + (low + 0.9 * (high - low)) * (back - front), abs=0.02)
    assert carried(small, rype, 0.0, y).region == "boom-1"


def test_a_bridle_point_stays_the_nearest_one_on_its_side(skarv: Planform, krykkje: Planform) -> None:
    for site in [each for each in sites(skarv) if each.element == Element.BRIDLE_POINT][:2]:
        found = carried(skarv, krykkje, site.middle.x_m, site.middle.y_m)
        assert found.place.element == Element.BRIDLE_POINT
        assert found.x_m * site.middle.x_m > 0


def test_what_the_other_model_lacks_lies_on_the_tube_beneath(skarv: Planform) -> None:
    bare = replace(skarv, fittings=())
    valve = next(site for site in sites(skarv) if site.element == Element.VALVE and site.middle.x_m > 0)
    found = carried(skarv, bare, valve.middle.x_m, valve.middle.y_m)
    assert found.place.element in TUBES
