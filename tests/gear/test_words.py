from dataclasses import replace

import pytest

from shoprepair.gear.diagram import regions
from shoprepair.gear.geometry import resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.gear.words import ordinal, place_sentence, row_name, short_place
from shoprepair.mechanics.description import Element, Place, Sentence
from tests.gear.conftest import Library


def said(planform: Planform, x_m: float, y_m: float) -> str:
    """The sentence with its distance in metres."""
    sentence = place_sentence(planform, resolve(planform, x_m, y_m).place, x_m, y_m)
    return sentence.text.format(**{name: f"{q.value:.2f} m" for name, q in sentence.values.items()})


def short(planform: Planform, x_m: float, y_m: float) -> str:
    return short_place(planform, resolve(planform, x_m, y_m).place)


def strut_point(planform: Planform, index: int, share: float, sign: int) -> tuple[float, float]:
    front, back = shape(planform).strut_ends(index)
    return sign * shape(planform).strut_x(index), front + share * (back - front)


def test_a_leading_edge_is_measured_along_the_tube_from_the_centre(holm: Planform) -> None:
    assert said(holm, 0.30, 0.02) == "leading edge, 0.30 m right of centre"
    assert said(holm, -0.30, 0.02) == "leading edge, 0.30 m left of centre"


def test_along_a_kites_curved_tip_a_tape_reads_more_than_the_span(skarv: Planform) -> None:
    line = shape(skarv).line
    on = line.at(line.t_at_arc(3.2))
    assert on.x_m < 3.0
    assert said(skarv, on.x_m, on.y_m) == "leading edge, 3.20 m right of centre"


def test_the_middle_and_the_tips_need_no_distance(holm: Planform) -> None:
    assert said(holm, 0.02, 0.0) == "leading edge, at the centre"
    assert said(holm, -holm.half_span_m + 0.01, holm.sweep_m - 0.01) == "leading edge, at the left tip"


def test_struts_are_counted_outwards_from_the_centre(skarv: Planform) -> None:
    assert said(skarv, *strut_point(skarv, 2, 0.95, -1)) == "second strut left, near the trailing edge"
    assert said(skarv, *strut_point(skarv, 1, 0.5, 1)).startswith("first strut right, 0.7")
    assert said(skarv, *strut_point(skarv, 0, 0.5, 1)).startswith("centre strut, 0.7")


def test_without_a_centre_strut_the_first_is_the_innermost_pair(krykkje: Planform) -> None:
    assert said(krykkje, *strut_point(krykkje, 0, 0.5, 1)).startswith("first strut right")
    assert said(krykkje, 0.2, 0.6) == "canopy, between the centre and the first strut right, front row"


def test_a_canopy_is_named_by_its_struts_and_row(skarv: Planform, holm: Planform) -> None:
    assert said(skarv, 0.7, 0.3) == "canopy, between the centre strut and the first strut right, front row"
    assert said(skarv, -1.9, 0.9) == "canopy, between the first and second strut left, second row"
    assert said(holm, -0.4, 0.4) == "canopy, between the centre strut and the left tip, front row"
    assert said(holm, 0.4, 1.0).startswith("window, between the centre strut and the right tip, middle row")


def test_a_hem_is_named_by_its_struts(skarv: Planform) -> None:
    y = shape(skarv).trailing_y(0.7) - 0.01
    assert said(skarv, 0.7, y) == "trailing edge, between the centre strut and the first strut right"


def test_handles_are_front_and_rear_and_a_boom_is_a_boom(holm: Planform, lunde: Planform) -> None:
    front, back = shape(holm).strut_ends(0)
    for share, name in ((0.3, "front handle"), (0.7, "rear handle")):
        y = front + share * (back - front)
        assert said(holm, 0.0, y) == short(holm, 0.0, y) == name
    assert said(lunde, 0.0, 1.0) == "boom"


def test_the_short_names_fit_a_tag(skarv: Planform) -> None:
    assert short(skarv, 0.0, 0.0) == "leading edge, centre"
    assert short(skarv, 0.6, 0.03) == "leading edge right"
    assert short(skarv, *strut_point(skarv, 2, 0.5, -1)) == "second strut left"
    assert short(skarv, -1.9, 0.9) == "canopy left"


def test_every_place_of_the_library_has_a_whole_sentence(drawn: Library) -> None:
    for name, one in drawn.items():
        for region in regions(one.planform):
            place = resolve(one.planform, region.x_m, region.y_m).place
            sentence = place_sentence(one.planform, place, region.x_m, region.y_m)
            assert isinstance(sentence, Sentence), name
            assert sentence.text[0].islower()
            assert "None" not in sentence.text
            assert short_place(one.planform, place)


@pytest.mark.parametrize(("number", "word"), [(1, "first"), (10, "tenth"), (11, "11th")])
def test_ordinals(number: int, word: str) -> None:
    assert ordinal(number) == word


def test_rows_are_named_from_the_front(skarv: Planform, holm: Planform) -> None:
    assert [row_name(skarv, row) for row in range(4)] == ["front row", "second row", "third row", "rear row"]
    assert [row_name(holm, row) for row in range(3)] == ["front row", "middle row", "rear row"]


def test_a_bare_place_is_enough_on_a_leading_edge(holm: Planform) -> None:
    place = Place(element=Element.LEADING_EDGE, station=0.5, side="left")
    sentence = place_sentence(holm, place, 0.0, 0.0)
    assert sentence.text == "leading edge, {distance} left of centre"
    assert sentence.values["distance"].value == pytest.approx(0.92, abs=0.03)


def test_a_single_handle_needs_no_number_and_a_fitting_by_the_leading_edge_says_so(holm: Planform) -> None:
    one = replace(holm, handle_shares=((0.3, 0.6),))
    front, back = shape(one).strut_ends(0)
    assert said(one, 0.0, front + 0.45 * (back - front)) == "handle"
    joint = Place(element=Element.STRUT, station=0, side="centre", strut=0, fraction=0.02)
    assert place_sentence(one, joint, 0.0, front).text == "centre strut, at the leading edge"
