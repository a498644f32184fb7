"""A close-up shows the places asked for, near enough to work at, and never leaves the drawing."""

import pytest

from shoprepair.gear.describe import planform
from shoprepair.gear.diagram import Pin, close_up
from shoprepair.gear.diagram.close_up import ASPECT, window
from shoprepair.gear.diagram.sheet import cloth
from shoprepair.gear.diagram.view import view
from shoprepair.gear.shape import shape
from tests.factories import KiteFactory, PatternFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(params=[PatternFactory, KiteFactory], ids=["wing", "kite"])
def drawn(request):
    return planform(request.param())


def test_each_place_is_inside_and_the_whole_is_larger(drawn):
    whole = view(shape(drawn))
    for x, y in ((0.0, 0.0), (0.4, 0.03), (-drawn.half_span_m, 0.7), (0.2, 1.5)):
        seen = window(drawn, [(x, y)])
        assert seen.holds(x, y, x, y)
        assert seen.width_m < 0.5 * whole.width_m
        assert seen.x_m >= whole.x_m - 0.001
        assert seen.x_m + seen.width_m <= whole.x_m + whole.width_m + 0.001


def test_places_far_apart_are_both_seen(drawn):
    far = drawn.half_span_m * 0.9
    seen = window(drawn, [(-far, 0.4), (far, 0.4)])
    assert seen.holds(-far, 0.4, far, 0.4)


def test_without_a_place_all_of_it_is_seen_in_the_same_shape(drawn):
    seen = window(drawn, [])
    assert seen.width_m == view(shape(drawn)).width_m
    assert seen.height_m == pytest.approx(ASPECT * seen.width_m, abs=0.002)


def test_a_close_up_borrows_the_cloth_and_draws_only_pins_that_are_near(drawn):
    pins = [Pin(1, 0.1, 0.02), Pin(2, drawn.half_span_m * 0.95, 0.7)]
    seen = close_up(drawn, pins, [1], kept="/drawings/cloth.svg#0-", title="The place")
    assert '<use href="/drawings/cloth.svg#0-whole"/>' in seen
    assert 'data-pin="1"' in seen
    assert 'data-pin="2"' not in seen
    assert len(seen) < len(cloth(drawn, "cloth")) / 5
