from math import pi

import pytest

from shoprepair.mechanics.cutting import Pull, condition, crossings, direction_unknown, worst, yarns
from shoprepair.mechanics.description import DEFAULT_CASES, Condition, Direction, Finding, FindingKind
from tests.mechanics.patterns import CASING, FILM
from tests.mechanics.wild import cut


@pytest.mark.parametrize(
    ("finding", "shares"),
    [
        (cut(direction=Direction.ALONG), (1, 0)),
        (cut(direction=Direction.AROUND), (0, 1)),
        (cut(direction=Direction.ANGLE, angle_rad=pi / 3), (0.5, 3**0.5 / 2)),
        (cut(direction=Direction.ANGLE), (1, 1)),
        (cut(direction=Direction.UNKNOWN), (1, 1)),
        (Finding(kind=FindingKind.HOLE, length_m=0.01, direction=Direction.ALONG), (1, 1)),
    ],
)
def test_which_yarns_a_cut_crosses(finding, shares):
    assert crossings(finding) == pytest.approx(shares)


def test_only_a_cut_needs_a_direction():
    assert direction_unknown(cut(direction=Direction.UNKNOWN))
    assert direction_unknown(cut(direction=Direction.ANGLE))
    assert not direction_unknown(Finding(kind=FindingKind.HOLE))


def test_the_worse_direction_decides_and_the_shorter_run_length_stands():
    weak = Pull("around", "riding", 3000, 20000, 2400, 1.0)
    strong = Pull("along", "hot beach", 5000, 60000, 1200, 1.0)
    severity = worst([strong, weak], 0.02, 0.003)
    assert severity.pull is weak
    assert severity.run_length_m == worst([weak], 0.02, 0.003).run_length_m


def test_the_hopeful_bound_is_never_the_worse_of_the_two():
    sparse = Pull("around", "riding", 3000, 20000, 100, 1.0)
    severity = worst([sparse], 0.02, 0.001)
    assert severity.hopeful_load_ratio == severity.load_ratio


def test_a_slanting_cut_runs_at_a_greater_length():
    straight, slanting = (Pull("around", "riding", 5000, 35000, 2400, share) for share in (1.0, 0.5))
    lengths = [worst([pull], 0.01, 0.003).run_length_m for pull in (straight, slanting)]
    assert lengths[1] == pytest.approx(2 * lengths[0])


def test_a_film_counts_as_close_woven():
    assert yarns(FILM) == (2400, 2400)
    assert yarns(CASING) == (2400, 2400)


@pytest.mark.parametrize(
    ("state", "left"), [(Condition.SOUND, []), (Condition.FADED, [0.8]), (Condition.BRITTLE, [0.6])]
)
def test_what_sun_leaves_of_a_cloth(state, left):
    """Faded 0.8, brittle 0.6: assumed."""
    figures = condition(Finding(kind=FindingKind.SCUFF, condition=state), DEFAULT_CASES)
    assert [figure.quantity.value for figure in figures] == left
    assert all(figure.assumed for figure in figures)
