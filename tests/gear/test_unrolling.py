"""A tube rolled out about a damage: each face is a band, and a damage put on a face is found on it again."""

from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.cover.unrolled import angles
from shoprepair.gear.geometry import point, resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.unrolling import (
    BANDS,
    WIDEST,
    Stretch,
    closing_shares,
    doublings_m,
    mouths_m,
    seams_m,
    stretch,
)
from shoprepair.mechanics.description import Element, Face, Place
from tests.cover.cloth import KITE, WING, damage

planforms = st.sampled_from([WING, KITE])
stations = st.floats(-0.97, 0.97)
offsets = st.floats(-0.95, 0.95)
lengths = st.one_of(st.none(), st.floats(0.002, 1.5))
quick = settings(max_examples=60, deadline=None)


def face_at(seen: Stretch, share: float) -> str:
    """The band at a share of the way down, as a finger finds it that lets go there."""
    return seen.faces[min(max(int(share * BANDS), 0), BANDS - 1)]


def on_the_edge(planform: Planform, station: float, across: float, length_m: float | None = None) -> Stretch:
    """About a pin on the leading edge, so far across it as a share of its radius."""
    side = "left" if station < 0 else "right"
    place = Place(element=Element.LEADING_EDGE, station=abs(station), side=side)
    middle = point(planform, place)
    seen = stretch(planform, place, middle.x_m, middle.y_m, length_m)
    assert seen is not None
    at_y = middle.y_m + across * seen.radius_m if abs(station) < 0.02 else middle.y_m
    spot = resolve(planform, middle.x_m, at_y)
    again = stretch(planform, place, spot.x_m, spot.y_m, length_m)
    assert again is not None
    return again


def on_a_strut(planform: Planform, index: int, side: str, fraction: float, aside: float = 0.0) -> Stretch:
    place = Place(element=Element.STRUT, station=0.3, side=side, strut=index, fraction=fraction)
    middle = point(planform, place)
    seen = stretch(planform, place, middle.x_m, middle.y_m, 0.05)
    assert seen is not None
    found = stretch(planform, place, middle.x_m + aside * seen.radius_m, middle.y_m, 0.05)
    assert found is not None
    return found


@quick
@given(planforms, stations, offsets, lengths)
def test_a_damage_dragged_to_a_face_is_found_on_that_face(
    planform: Planform, station: float, across: float, length_m: float | None
) -> None:
    seen = on_the_edge(planform, station, across, length_m)
    assert seen.said == ("front", "top", "back", "underside")
    for face in seen.said:
        assert face_at(seen, seen.lies(face)) == face


@quick
@given(planforms, st.sampled_from(["left", "right"]), st.floats(0.05, 0.9), offsets)
def test_on_a_strut_only_above_and_beneath_can_be_said(
    planform: Planform, side: str, fraction: float, aside: float
) -> None:
    seen = on_a_strut(planform, 1, side, fraction, aside)
    assert set(seen.said) == {"top", "underside"}
    assert set(seen.faces) - set(seen.said) == {"inner", "outer"}
    for face in seen.said:
        assert face_at(seen, seen.lies(face)) == face


@quick
@given(planforms, stations, lengths)
def test_a_stretch_holds_its_damage_stays_on_the_tube_and_leaves_room_for_a_finger(
    planform: Planform, station: float, length_m: float | None
) -> None:
    seen = on_the_edge(planform, station, 0.0, length_m)
    assert seen.low_m <= seen.at_m <= seen.high_m
    assert seen.wide_m <= WIDEST * seen.girth_m + 1e-9
    assert seen.girth_m == pytest.approx(2 * pi * seen.radius_m)


@pytest.mark.parametrize("length_m", [0.005, 0.9])
def test_a_long_cut_is_seen_whole_and_a_small_hole_from_as_near_as_the_tube_allows(length_m: float) -> None:
    seen = on_the_edge(WING, 0.2, 0.0, length_m)
    assert seen.wide_m >= min(1.1 * length_m, WIDEST * seen.girth_m)
    assert seen.wide_m >= seen.girth_m


def test_from_the_top_down_it_is_as_the_drawing_shows_the_tube_from_above() -> None:
    seen = on_the_edge(WING, 0.3, 0.0)
    assert [face_at(seen, (n + 0.5) / BANDS) for n in range(BANDS)] == ["front", "top", "back", "underside"]
    toward_the_front, toward_the_back = (on_the_edge(WING, 0.0, across).lies("top") for across in (-0.5, 0.5))
    assert toward_the_front < toward_the_back


def test_what_lies_toward_the_tip_above_lies_so_beneath_as_well() -> None:
    for side, outward in (("right", 0.5), ("left", -0.5)):
        seen = on_a_strut(WING, 1, side, 0.4, outward)
        outer = (seen.faces.index("outer") + 0.5) / BANDS
        inner = (seen.faces.index("inner") + 0.5) / BANDS
        for face in seen.said:
            assert _apart(seen.lies(face), outer) < _apart(seen.lies(face), inner)


def _apart(one: float, other: float) -> float:
    """Of two shares of a way around."""
    off = abs(one - other)
    return min(off, 1 - off)


def test_left_is_left_and_both_sides_are_alike() -> None:
    left, right = on_the_edge(KITE, -0.5, 0.0, 0.05), on_the_edge(KITE, 0.5, 0.0, 0.05)
    assert left.at_m == pytest.approx(-right.at_m, abs=1e-6)
    assert (left.low_m, left.high_m) == (
        pytest.approx(-right.high_m, abs=1e-6),
        pytest.approx(-right.low_m, abs=1e-6),
    )
    assert seams_m(KITE, left) == pytest.approx(sorted(-at for at in seams_m(KITE, right)), abs=1e-6)


def test_the_closing_seam_runs_in_the_middle_of_the_back() -> None:
    seen = on_the_edge(WING, 0.3, 0.0)
    (share,) = closing_shares(seen)
    assert face_at(seen, share) == "back"
    assert share == pytest.approx((seen.faces.index("back") + 0.5) / BANDS)


def test_what_the_maker_sewed_is_seen_where_it_is() -> None:
    seen = on_the_edge(WING, 0.01, 0.0)
    assert 0.0 in seams_m(WING, seen)
    assert any(at == 0 for at, _ in mouths_m(WING, seen)) is WING.struts[0].is_centre
    for low, high in doublings_m(WING, seen):
        assert seen.low_m <= low < high <= seen.high_m


def test_a_canopy_is_no_tube() -> None:
    place = Place(element=Element.CANOPY, station=0.2, side="right", fraction=0.5)
    at = point(WING, place)
    assert stretch(WING, place, at.x_m, at.y_m, 0.1) is None


def test_the_place_is_that_where_covers_lay_a_footprint_out() -> None:
    """Where both know the face; a pin near the rim of its face is kept inside it here."""
    for across in (-0.4, 0.0, 0.4):
        for face in (Face.FRONT, Face.TOP, Face.BACK, Face.UNDERSIDE):
            place = Place(element=Element.LEADING_EDGE, station=0.0, side="centre", face=face)
            seen = stretch(WING, place, 0.0, across * WING.leading_edge.radius(0.0), 0.03)
            laid = angles(damage(at=place, across=across))
            assert seen is not None
            assert seen.lies(face) == pytest.approx(seen.share(laid[0]), abs=0.03)
