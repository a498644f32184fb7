"""Tubes rolled out flat: there and back, once around, and how little is lost by laying a fan straight."""

from dataclasses import replace
from math import cos, hypot, pi, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.cover.flat import At
from shoprepair.cover.unrolled import (
    LEADING_EDGE,
    Spot,
    angles,
    drawn,
    girth_m,
    length_m,
    metres,
    radius_m,
    seen_from,
    spot_at,
    spots,
)
from shoprepair.gear.geometry import resolve
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Element, Face
from tests.cover.cloth import KITE, WING, damage, place

shares = st.floats(0.02, 0.98)
turns = st.floats(-pi + 1e-6, pi)
sides = st.sampled_from(["left", "right"])
planforms = st.sampled_from([WING, KITE])
quick = settings(max_examples=30, deadline=None)


@quick
@given(planforms, sides, shares, turns)
def test_a_spot_comes_back_from_its_metres(
    planform: Planform, side: str, along: float, around: float
) -> None:
    for surface in (LEADING_EDGE, f"strut-{side}-1"):
        spot = Spot(surface=surface, side=side, along=along, around=around)
        back = spot_at(planform, surface, metres(planform, spot), side)
        assert (back.surface, back.side) == (surface, side)
        assert (back.along, back.around) == (pytest.approx(along), pytest.approx(around))


@quick
@given(planforms, sides, shares, turns)
def test_once_around_a_tube_ends_where_it_began(
    planform: Planform, side: str, along: float, around: float
) -> None:
    spot = Spot(surface=LEADING_EDGE, side=side, along=along, around=around)
    at = metres(planform, spot)
    once = girth_m(planform, LEADING_EDGE, along)
    again = spot_at(planform, LEADING_EDGE, At(at.u_m, at.v_m + once))
    assert (again.along, cos(again.around), sin(again.around)) == (
        pytest.approx(along),
        pytest.approx(cos(around)),
        pytest.approx(sin(around), abs=1e-9),
    )


def test_both_ways_round_a_tube_are_once_around_apart() -> None:
    back = Spot(surface=LEADING_EDGE, side="right", along=0.4, around=pi - 0.1)
    beneath = Spot(surface=LEADING_EDGE, side="right", along=0.4, around=-pi + 0.1)
    near, *others = seen_from(WING, back, beneath)
    assert near.v_m == pytest.approx(0.2 * radius_m(WING, LEADING_EDGE, 0.4))
    assert min(abs(other.v_m - near.v_m) for other in others) == pytest.approx(
        girth_m(WING, LEADING_EDGE, 0.4)
    )


@quick
@given(planforms, shares, turns)
def test_a_spot_is_drawn_where_its_pin_was(planform: Planform, along: float, around: float) -> None:
    spot = Spot(surface=LEADING_EDGE, side="left", along=0.1 + 0.8 * along, around=around)
    at = drawn(replace(planform, fittings=(), bridle_stations=(), handle_shares=()), spot)
    found = resolve(replace(planform, fittings=(), bridle_stations=(), handle_shares=()), *at)
    assert found.place.element is Element.LEADING_EDGE
    here = radius_m(planform, LEADING_EDGE, spot.along)
    assert found.offset_m == pytest.approx(-here * cos(around), abs=1e-3)


@pytest.mark.parametrize(
    ("face", "across", "found"),
    [
        (Face.TOP, 0.0, (pi / 2,)),
        (Face.UNDERSIDE, 0.0, (-pi / 2,)),
        (Face.FRONT, 0.0, (0.0,)),
        (Face.BACK, 0.0, (pi,)),
        (Face.UNKNOWN, 0.0, (pi / 2, -pi / 2)),
        (Face.UNKNOWN, -1.0, (0.0,)),
        (Face.UNKNOWN, 1.2, (pi,)),
    ],
)
def test_the_face_says_whether_a_pin_lies_above_or_beneath(
    face: Face, across: float, found: tuple[float, ...]
) -> None:
    assert angles(damage(at=place(face=face), across=across)) == pytest.approx(found)


def test_a_strut_is_gone_round_from_the_side_toward_the_centre() -> None:
    inner = place(Element.STRUT, strut=1, fraction=0.4, station=0.52, face=Face.TOP)
    assert angles(damage(at=inner, across=-0.9))[0] < pi / 4
    assert angles(damage(at=replace(inner, side="left"), across=0.9))[0] < pi / 4


def test_a_seam_at_the_back_lies_at_the_back_wherever_it_was_pinned() -> None:
    at = place(face=Face.BACK)
    assert angles(damage("seam opened", at, across=0.95)) == (pi,)
    assert len(angles(damage("tear", at, across=0.95))) == 2


def test_a_strut_that_came_later_is_laid_on_the_canopy() -> None:
    (spot,) = spots(WING, damage(at=place(Element.STRUT, strut=4, fraction=0.3)))
    assert spot.surface == "canopy"


@pytest.mark.parametrize("planform", [WING, KITE])
@pytest.mark.parametrize("along", [0.2, 0.5, 0.8])
def test_laying_the_fan_of_a_taper_straight_moves_no_corner_of_a_patch_far(
    planform: Planform, along: float
) -> None:
    """A cone rolls out to a fan about its tip: the distance from the tip, the angle shrunk by its slope."""
    middle = Spot(surface=LEADING_EDGE, side="right", along=along, around=pi / 2)
    length, radius = length_m(planform, LEADING_EDGE), radius_m(planform, LEADING_EDGE, along)
    slope = (radius_m(planform, LEADING_EDGE, 0) - radius_m(planform, LEADING_EDGE, 1)) / length
    tip = radius / slope
    for u, turn in ((-0.1, 0.8), (0.1, 0.8), (0.1, -0.8)):
        spot = replace(middle, along=along + u / length, around=pi / 2 + turn)
        at = seen_from(planform, middle, spot)[0]
        fan = turn * slope
        true = At(tip - (tip - u) * cos(fan), (tip - u) * sin(fan))
        assert hypot(at.u_m - true.u_m, at.v_m - true.v_m) < 0.004
