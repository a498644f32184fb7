import itertools
import re
from xml.etree import ElementTree

import pytest

from shoprepair.pricing import access, proposals
from shoprepair.shop.units import Units
from tests.pricing.mending import a_job, on_the_edge, on_the_strut, stocked

pytestmark = pytest.mark.django_db


@pytest.fixture
def drawn(db):
    stocked()
    job = a_job()
    on_the_edge(job, 0.25, "cut", mm=35, through_bladder="no")
    on_the_edge(job, 0.5, "burst", side="left")
    on_the_strut(job, 0.5, "hole", mm=20)
    proposals.propose_job(job)
    return job


def parts(svg, class_):
    return [each for each in ElementTree.fromstring(svg).iter() if each.get("class") == class_]


def test_each_opened_tube_is_drawn_with_its_damages_by_number(drawn):
    svg = access.drawing(drawn)
    assert len(parts(svg, "opened-tube")) == 2
    assert sorted(tag.text for tag in parts(svg, "opened-number")) == ["1", "2", "3"]
    assert len(parts(svg, "opened-slit")) == len(access.openings(drawn))
    assert len(parts(svg, "opened-patch")) == 3


def test_strut_joints_and_valves_are_on_it(drawn):
    svg = access.drawing(drawn)
    assert parts(svg, "opened-joint")
    assert parts(svg, "opened-valve")


def test_a_bladder_hangs_out_of_every_opening_it_is_drawn_through(drawn):
    drawn_out = [opening for opening in access.openings(drawn) if opening.bladder_out]
    assert len(parts(access.drawing(drawn), "opened-bladder")) == len(drawn_out) > 0


def test_it_is_told_in_words_and_in_the_readers_units(drawn):
    svg = ElementTree.fromstring(access.drawing(drawn, units=Units(length="in")))
    assert svg.get("role") == "img"
    assert re.search(
        r"leading edge: [^;]*(in|′|″)[^;]* of closing seam opened for damage", svg.get("aria-label")
    )
    assert "mm" not in svg.get("aria-label")


def test_nothing_lies_off_the_sheet_and_nothing_is_styled_inline(drawn):
    svg = access.drawing(drawn)
    assert "style=" not in svg
    assert "nan" not in svg
    _, _, wide, tall = map(float, ElementTree.fromstring(svg).get("viewBox").split())
    for text in ElementTree.fromstring(svg).iter("text"):
        assert 0 <= float(text.get("x")) <= wide
        assert 0 < float(text.get("y")) <= tall


def test_tags_of_neighbours_stand_beside_one_another(db):
    stocked()
    job = a_job()
    for station in (0.30, 0.31, 0.32):
        on_the_edge(job, station, "cut", mm=10, through_bladder="no")
    proposals.propose_job(job)
    tags = sorted(float(tag.get("x")) for tag in parts(access.drawing(job), "opened-tag"))
    assert all(after - before >= 46 for before, after in itertools.pairwise(tags))


def tag_boxes(svg):
    return [
        (float(tag.get("x")), float(tag.get("x")) + float(tag.get("width")))
        for tag in parts(svg, "opened-tag")
    ]


def a_crowded_job(count):
    stocked()
    job = a_job()
    for at in range(count):
        side = "left" if at % 2 else "right"
        on_the_edge(job, 0.02 + 0.9 * at / count, "cut", mm=10, side=side, through_bladder="no")
    proposals.propose_job(job)
    return job


def test_tags_of_forty_damages_stand_finer_beside_one_another_and_on_the_sheet(db):
    boxes = tag_boxes(access.drawing(a_crowded_job(40)))
    assert len(boxes) == 40
    assert boxes[0][0] >= 0
    assert boxes[-1][1] <= 1000
    assert all(after[0] > before[1] for before, after in itertools.pairwise(boxes))


def test_where_tags_would_be_too_fine_to_read_the_list_alone_names_the_damages(db):
    assert not tag_boxes(access.drawing(a_crowded_job(45)))
