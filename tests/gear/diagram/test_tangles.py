"""Two tags with their threads: when one crosses, runs under or hides the other."""

import pytest

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.diagram.tangles import Spot, of_two, tangles


def tag(knot: tuple[float, float], left: float, top: float) -> Spot:
    """A tag of one by one at this corner, for a point."""
    return Spot(Point(*knot), Box(left, top, left + 1, top + 1))


BESIDE = tag((0, 0), 3, -0.5)
"""Its thread runs level from its point to the right."""


def test_tags_that_hang_apart_are_not_tangled() -> None:
    below = tag((0, 5), 3, 4.5)
    assert tangles(BESIDE, [below]) == tangles(below, [BESIDE]) == of_two((BESIDE, below), []) == 0


def test_threads_that_cross_are_a_tangle_for_either() -> None:
    across = tag((1.5, -3), 1, 2)
    assert tangles(BESIDE, [across]) == tangles(across, [BESIDE]) == 1


def test_a_thread_that_runs_under_a_tag_is_a_tangle_for_either() -> None:
    over = tag((1.5, -4), 1, -0.5)
    assert tangles(BESIDE, [over]) == tangles(over, [BESIDE]) == 1


def test_a_thread_over_the_knot_of_another_is_a_tangle() -> None:
    knotted = tag((1.5, 0.05), 1, 3)
    assert tangles(BESIDE, [knotted]) == 1


def test_whoever_needs_no_more_than_so_many_counts_no_further() -> None:
    across = [tag((1.5 + n / 10, -3), 1 + n / 10, 2) for n in range(5)]
    assert tangles(BESIDE, across) == 5
    assert tangles(BESIDE, across, most=2) == 2


@pytest.mark.parametrize(
    ("knot", "eye"),
    [((2, 0.5), (1, 0.5)), ((-2, 0.5), (0, 0.5)), ((0.5, 3), (0.5, 1)), ((0.5, -3), (0.5, 0))],
)
def test_a_thread_is_tied_to_the_edge_that_faces_its_point(
    knot: tuple[float, float], eye: tuple[float, float]
) -> None:
    assert tag(knot, 0, 0).eye == Point(*eye)


def test_no_thread_is_tied_near_a_corner() -> None:
    assert tag((5, -9), 0, 0).eye == Point(0.72, 0)
    assert tag((9, -5), 0, 0).eye == Point(1, 0.28)
