"""A drawing shown large has its measures round it, as a printed plan has."""

import re
from xml.etree import ElementTree

import pytest

from shoprepair.gear.diagram import Measures, Pin, draw, measures
from shoprepair.gear.diagram.pins import place
from shoprepair.gear.diagram.plan import framed, rooms_of_figures
from shoprepair.gear.diagram.view import view
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.shop.units import Units
from tests.gear.conftest import NAMES, Library

SVG = "{http://www.w3.org/2000/svg}"
SAID = Measures("3.50 m", "1.92 m", "Ø 240 mm")


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def words(svg: str) -> list[str]:
    return [text.text or "" for text in parsed(svg).iter(f"{SVG}text")]


def test_span_chord_and_tube_are_said_in_the_readers_units(holm: Planform) -> None:
    assert measures(holm, Units()) == SAID
    assert measures(holm, Units(length="in")).tube.startswith("Ø 9 ")


def test_the_measures_stand_on_the_sheet_and_nothing_is_measured_where_nobody_asks(holm: Planform) -> None:
    assert {"3.50 m", "1.92 m", "Ø 240 mm"} <= set(words(draw(holm, measured=SAID)))
    assert words(draw(holm)) == ["left", "right"]
    assert "dimension" not in draw(holm)


@pytest.mark.parametrize("name", NAMES)
def test_every_line_of_the_frame_lies_on_its_sheet(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    sheet = framed(view(shape(planform)))
    drawing = parsed(draw(planform, measured=SAID))
    left, top, width, height = map(float, drawing.attrib["viewBox"].split())
    (lines,) = (each.attrib["d"] for each in drawing.iter() if each.attrib.get("class") == "dimension")
    places = [tuple(map(float, pair.split())) for pair in re.split("[ML]", lines) if pair]
    assert len(places) >= 12
    for x, y in places:
        assert left < x < left + width
        assert top < y < top + height
    assert sheet.width_m == pytest.approx(width, abs=0.001)


@pytest.mark.parametrize("name", NAMES)
def test_the_span_is_drawn_as_long_as_it_is(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    lines = re.search(r'<path d="([^"]*)" class="dimension"', draw(planform, measured=SAID))
    assert lines
    half = f"{planform.half_span_m:.3f}".rstrip("0").rstrip(".").removeprefix("0")
    assert f"M-{half} " in lines[1]
    assert f"L{half} " in lines[1]


def test_no_tag_lies_on_the_words_of_a_drawing(holm: Planform) -> None:
    of, sheet = shape(holm), view(shape(holm))
    figure, _ = rooms_of_figures(of, sheet, SAID)
    pins = [Pin(n, 0.05 * n, -0.12) for n in range(8)]
    assert any(each.box.overlaps(figure) for each in place(pins, sheet))
    assert not any(each.box.overlaps(figure) for each in place(pins, sheet, clear=(figure,)))
