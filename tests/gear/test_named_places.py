import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.gear import named_places
from shoprepair.gear.geometry import OffTheDrawing, resolve
from shoprepair.mechanics.description import Element
from tests.gear.conftest import NAMES

BY_STATION = (Element.LEADING_EDGE, Element.CANOPY, Element.TRAILING_EDGE)


@pytest.mark.parametrize("name", NAMES)
def test_each_pin_lies_on_its_part_and_in_its_zone(drawn, name):
    planform = drawn[name].planform
    for named in named_places.named(planform):
        spot = resolve(planform, named.x_m, named.y_m)
        assert spot.place.element is named.place.element, named.code
        assert named_places.code_at(planform, named.x_m, named.y_m) == named.code
        assert named.x_m >= 0


@given(name=st.sampled_from(NAMES), across=st.floats(-1, 1), down=st.floats(-0.1, 1.1))
def test_whoever_taps_is_never_nearer_to_the_centre_than_the_name_of_the_zone(drawn, name, across, down):
    planform = drawn[name].planform
    try:
        place = resolve(planform, across * planform.half_span_m, down * planform.chord_centre_m).place
    except OffTheDrawing:
        return
    named = named_places.by_code(planform, named_places.code_of(place))
    assert named is not None
    if place.element in BY_STATION:
        assert named.place.station <= place.station


def test_a_wing_is_held_by_handles_and_a_kite_hangs_on_lines(holm, skarv):
    wing = {named.code for named in named_places.named(holm)}
    kite = {named.code for named in named_places.named(skarv)}
    assert "handle" in wing - kite
    assert "bridle" in kite - wing
    assert "strut-side" not in wing
    assert "window" in wing - kite


def test_a_kite_without_a_middle_strut_names_none(krykkje):
    codes = {named.code for named in named_places.named(krykkje)}
    assert "strut-centre" not in codes
    assert "strut-side" in codes


def test_the_labels_are_plain_words():
    assert str(named_places.label("front-tip")) == "Front tube, near the tip"
    assert named_places.element("back-edge") is Element.TRAILING_EDGE
    with pytest.raises(KeyError):
        named_places.label("engine")
