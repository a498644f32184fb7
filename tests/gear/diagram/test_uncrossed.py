"""Tags change places until no two threads cross."""

from hypothesis import given
from hypothesis import strategies as st

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.diagram.tangles import Spot, crossed
from shoprepair.gear.diagram.uncrossed import uncrossed

SIDE = 10
"""Places stand in a grid of so many by so many, one apart."""


def tag(knot: tuple[float, float], left: float, top: float, wide: float = 0.8) -> Spot:
    return Spot(Point(*knot), Box(left, top, left + wide, top + 0.6))


def test_two_whose_threads_cross_change_places() -> None:
    one, other = tag((0, 0), 5, 5), tag((0, 5), 5, 0)
    assert crossed(one, other)
    assert [spot.box for spot in uncrossed([one, other])] == [other.box, one.box]


def test_tags_of_different_sizes_keep_their_places() -> None:
    pair = [tag((0, 0), 5, 5), tag((0, 5), 5, 0, wide=1.2)]
    assert uncrossed(pair) == pair


@st.composite
def strewn(draw: st.DrawFn) -> list[Spot]:
    """Up to forty points anywhere on the sheet, each with a place of its own somewhere on a grid."""
    at = st.integers(0, 1000 * SIDE).map(lambda thousandths: thousandths / 1000)
    knots = draw(st.lists(st.tuples(at, at), max_size=40, unique=True))
    cells = draw(st.permutations(range(SIDE * SIDE)))
    return [tag(knot, *divmod(cell, SIDE)) for knot, cell in zip(knots, cells, strict=False)]


@given(strewn())
def test_in_the_end_no_two_cross_and_everybody_has_a_place_of_their_own(spots: list[Spot]) -> None:
    found = uncrossed(spots)

    assert [(one, other) for one in found for other in found if crossed(one, other)] == []
    assert [spot.knot for spot in found] == [spot.knot for spot in spots]
    assert {spot.box for spot in found} == {spot.box for spot in spots}
    assert sum(spot.thread for spot in found) <= sum(spot.thread for spot in spots) * (1 + 1e-9)
