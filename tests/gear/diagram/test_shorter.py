"""A path in fewer letters draws the same line, to the last digit."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.gear.diagram.shorter import TAKES, shortened, shorter
from shoprepair.shop.charts.svg import number

values = st.integers(-99_999, 99_999)
commands = st.sampled_from([letter for letter in TAKES if letter != "M"]).flatmap(
    lambda letter: st.tuples(
        st.just(letter), st.lists(values, min_size=TAKES[letter], max_size=TAKES[letter])
    )
)
starts = st.tuples(st.just("M"), st.lists(values, min_size=2, max_size=2))
paths = st.lists(st.tuples(starts, st.lists(commands, max_size=8)), min_size=1, max_size=3)


def written(subpaths) -> str:
    parts = [part for start, rest in subpaths for part in (start, *rest)]
    return "".join(letter + " ".join(number(value / 1000) for value in told) for letter, told in parts)


def points(path: str) -> list[tuple[str, list[int]]]:
    """Every command with its places, in thousandths, as SVG 1.1 reads it."""
    places, at, begun = [], [0, 0], [0, 0]
    for letter, told in re.findall(r"([A-Za-z])([^A-Za-z]*)", path):
        found = [round(float(value) * 1000) for value in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", told)]
        size = TAKES[letter.upper()]
        if not size:
            at = list(begun)
            places.append(("Z", []))
        for index in range(0, len(found), size or 1):
            axis = 1 if letter in "vV" else 0
            part = [
                value + (at[(axis + k) % 2] if letter.islower() else 0)
                for k, value in enumerate(found[index : index + size])
            ]
            name = "L" if letter in "mM" and index else letter.upper()
            places.append((name, part))
            at = [part[0], at[1]] if name == "H" else [at[0], part[0]] if name == "V" else part[-2:]
            begun = list(at) if name == "M" else begun
    return places


@given(paths)
def test_every_point_stays_where_it_was(subpaths) -> None:
    path = written(subpaths)
    assert points(shorter(path)) == points(path)


@given(paths)
def test_it_never_grows(subpaths) -> None:
    path = written(subpaths)
    assert len(shorter(path)) <= len(path)


@pytest.mark.parametrize(
    ("long", "short"),
    [
        ("M1.5 2.5L1.6 2.4L1.7 2.3Z", "m1.5 2.5.1-.1.1-.1z"),
        ("M1.25 1H1.5V1.125H1.25Z", "m1.25 1h.25v.125h-.25z"),
        ("M1.5 1L2.5 2M1.75 1L2.75 2", "m1.5 1 1 1m-.75-1 1 1"),
        ("M0 0C.1 .1 .2 .1 .3 0C.4 -.1 .5 -.1 .6 0", "m0 0c.1.1.2.1.3 0 .1-.1.2-.1.3 0"),
    ],
)
def test_steps_are_told_with_nothing_that_can_be_left_out(long: str, short: str) -> None:
    assert shorter(long) == short


def test_what_has_arcs_or_steps_already_stays_as_it_is() -> None:
    assert shorter("M1.25 2a.3 .3 0 1 0 .6 0Z") == "M1.25 2a.3 .3 0 1 0 .6 0Z"


def test_only_paths_are_touched() -> None:
    drawn = '<g id="d"><text x="1.5">M1 1L2 2</text><path d="M1.5 1L2.5 2L3.5 3"/></g>'
    assert shortened(drawn) == '<g id="d"><text x="1.5">M1 1L2 2</text><path d="m1.5 1 1 1 1 1"/></g>'


@given(paths)
def test_a_mirror_image_is_told_in_the_letters_of_what_it_mirrors(subpaths) -> None:
    right, left = written(subpaths), written(turned(subpaths))
    first, second = re.findall(
        r'<path d="([^"]*)"([^>]*)>', shortened(f'<path d="{right}"/><path d="{left}"/>')
    )
    if left == right:
        assert second == first
        return
    assert second == (first[0], ' transform="scale(-1 1)"/')


def turned(subpaths):
    """Every point on the other side of the middle."""

    def over(part):
        letter, told = part
        return letter, [-v if letter != "V" and i % 2 == 0 else v for i, v in enumerate(told)]

    return [(over(start), [over(part) for part in rest]) for start, rest in subpaths]


def test_what_is_turned_already_is_not_turned_again() -> None:
    pair = '<path d="M1.5 1L2.5 2"/><path d="M-1.5 1L-2.5 2" transform="rotate(3)"/>'
    assert shortened(pair).count("transform=") == 1
    assert 'd="m-1.5 1-1 1" transform="rotate(3)"' in shortened(pair)
