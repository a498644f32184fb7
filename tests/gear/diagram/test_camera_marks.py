"""Photos on the drawing: each mark leads to its photo and stands at its place, none over another."""

import re
from itertools import pairwise

import pytest

from shoprepair.gear.diagram import Pin, draw
from shoprepair.gear.diagram.camera_marks import PhotoMark, marks
from tests.cover.cloth import KITE, WING


def cases(drawn: str) -> list[tuple[float, float, float]]:
    """Left, top and width of each camera."""
    found = re.findall(r'<rect class="photo-case" x="([-.\d]+)" y="([-.\d]+)" width="([-.\d]+)"', drawn)
    return [tuple(float(n) for n in one) for one in found]


@pytest.mark.parametrize("planform", [WING, KITE], ids=["wing", "kite"])
def test_a_mark_stands_at_its_place_and_leads_to_its_photo(planform) -> None:
    drawn = str(marks(planform, [PhotoMark(0.3, 0.02, "/photos/a/large.jpg", 'Photo: "here"')]))
    assert 'href="/photos/a/large.jpg"' in drawn
    assert "&quot;here&quot;" in drawn
    assert 'data-mark-x=".3" data-mark-y=".02"' in drawn
    assert 'cx=".3" cy=".02"' in drawn


def test_photos_of_one_place_stand_side_by_side() -> None:
    drawn = str(marks(WING, [PhotoMark(0.3, 0.02, f"/{n}", "Photo") for n in range(3)]))
    boxes = sorted(cases(drawn))
    assert len(boxes) == 3
    for (left, _, wide), (after, *_) in pairwise(boxes):
        assert left + wide < after


def test_none_are_nothing() -> None:
    assert marks(WING, []) == ""


def test_they_lie_over_the_cloth_and_under_the_pins() -> None:
    camera = marks(WING, [PhotoMark(0.3, 0.02, "/a", "Photo")])
    drawn = str(draw(WING, pins=[Pin(1, 0.4, 0.02)], beneath_pins=camera))
    assert drawn.index("photo-marks") < drawn.index('class="threads"')
