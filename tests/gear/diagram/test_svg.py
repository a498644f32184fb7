from math import cos, hypot, pi, sin

import pytest

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.svg import element, group, number, polyline, smooth


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.05, ".05"), (-0.05, "-.05"), (1.2, "1.2"), (0.0, "0"), (-0.0001, "0"), (10.0, "10")],
)
def test_numbers_are_written_as_short_as_they_can_be(value: float, said: str) -> None:
    assert number(value) == said


def test_attributes_are_escaped_and_none_is_left_out() -> None:
    assert element("a", "x", href='"&', class_="b", data_x=1.0, fill=None) == (
        '<a href="&quot;&amp;" class="b" data-x="1">x</a>'
    )


def test_an_empty_group_is_nothing() -> None:
    assert group("empty", ["", ""]) == ""


def test_lines_are_joined() -> None:
    assert polyline([Point(0, 0), Point(1, 0.5)], closed=True) == "M0 0L1 .5Z"


def test_a_smooth_path_follows_its_curve() -> None:
    """Two cubics for a quarter circle stay within two thousandths of it."""
    path = smooth(lambda t: Point(cos(t * pi / 2), sin(t * pi / 2)), 0.0, 1.0, 2)
    start, *pieces = path.removeprefix("M").split("C")
    here = complex(*map(float, start.split()))
    for piece in pieces:
        numbers = [float(n) for n in piece.split()]
        a, b, end = (complex(numbers[i], numbers[i + 1]) for i in (0, 2, 4))
        middle = (here + 3 * a + 3 * b + end) / 8
        assert hypot(middle.real, middle.imag) == pytest.approx(1.0, abs=2e-3)
        here = end
