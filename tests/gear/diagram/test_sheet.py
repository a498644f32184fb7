from xml.etree import ElementTree

import pytest

from shoprepair.gear.diagram import Pin, draw, load_legend, load_map, regions
from shoprepair.gear.diagram.regions import Region
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Band
from tests.gear.conftest import NAMES, Library

SVG = "{http://www.w3.org/2000/svg}"
PINS = [Pin(1, 0.3, 0.05, Band.GROUNDED, 'A "cut" & more'), Pin(2, -0.4, 0.5, Band.WATCH, "<b>two</b>")]


def address(region: Region) -> str:
    return f"/pin/?region={region.id}&x={region.x_m}"


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


@pytest.mark.parametrize("detail", ["full", "paper", "glyph"])
@pytest.mark.parametrize("name", NAMES)
def test_every_drawing_is_well_formed_and_carries_no_style(drawn: Library, name: str, detail: str) -> None:
    one = drawn[name]
    load = load_map(one.planform, one.pattern)
    svg = draw(one.planform, detail=detail, load=load, pins=PINS, title="A & B <c>")  # type: ignore[arg-type]
    for element in parsed(svg).iter():
        assert element.tag not in {f"{SVG}style", f"{SVG}script"}
        assert not {name for name in element.attrib if name == "style" or name.startswith("on")}
        assert "nan" not in element.attrib.get("d", "")


@pytest.mark.parametrize("name", NAMES)
def test_every_region_is_a_labelled_link_that_says_where_it_is(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    links = parsed(draw(planform, region_links=address, unique="desk")).findall(f".//{SVG}a")
    by_id = {link.attrib["data-region"]: link.attrib for link in links}
    found = regions(planform)
    assert set(by_id) == {region.id for region in found}
    for region in found:
        attributes = by_id[region.id]
        assert attributes["href"] == address(region)
        assert attributes["aria-label"] == region.label
        assert attributes["id"] == f"desk-{region.id}"
        assert float(attributes["data-x"]) == pytest.approx(region.x_m, abs=0.0006)
        assert float(attributes["data-y"]) == pytest.approx(region.y_m, abs=0.0006)
        ways = dict(pair.split(":") for pair in attributes["data-neighbours"].split())
        assert ways == region.neighbours


@pytest.mark.parametrize("name", NAMES)
def test_two_drawings_on_a_page_share_no_id(drawn: Library, name: str) -> None:
    svgs = [parsed(draw(drawn[name].planform, region_links=address, unique=unique)) for unique in "ab"]
    ids = [element.attrib["id"] for svg in svgs for element in svg.iter() if "id" in element.attrib]
    assert len(ids) == len(set(ids))


def test_without_links_nothing_takes_the_focus(holm: Planform) -> None:
    assert parsed(draw(holm)).findall(f".//{SVG}a") == []


def test_the_drawing_names_itself(holm: Planform) -> None:
    svg = parsed(draw(holm, title="Holm with its damages", unique="sheet"))
    title = svg.find(f"{SVG}title")
    assert title is not None
    assert title.text == "Holm with its damages"
    assert svg.attrib["aria-labelledby"] == title.attrib["id"] == "sheet-title"


def test_a_drawing_with_pins_or_links_is_a_group_of_parts_and_else_an_image(holm: Planform) -> None:
    assert parsed(draw(holm)).attrib["role"] == "img"
    assert parsed(draw(holm, pins=PINS)).attrib["role"] == "group"
    assert parsed(draw(holm, region_links=address)).attrib["role"] == "group"


def test_pins_do_not_move_the_drawing(skarv: Planform) -> None:
    assert parsed(draw(skarv)).attrib["viewBox"] == parsed(draw(skarv, pins=PINS)).attrib["viewBox"]


@pytest.mark.parametrize("name", NAMES)
def test_the_whole_drawing_lies_on_its_sheet(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    left, top, width, height = map(float, parsed(draw(planform)).attrib["viewBox"].split())
    for region in regions(planform):
        assert left < region.x_m < left + width
        assert top < region.y_m < top + height


@pytest.mark.parametrize("name", NAMES)
def test_paper_has_no_tap_targets_and_is_lighter(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    assert len(draw(planform, detail="paper")) < 0.8 * len(draw(planform, region_links=address))


def test_a_link_is_escaped(holm: Planform) -> None:
    svg = draw(holm, region_links=lambda region: '"><script>')
    assert "<script>" not in svg
    parsed(svg)


def test_the_legend_is_well_formed_and_says_every_step() -> None:
    words = [text.text for text in parsed(load_legend()).iter(f"{SVG}text")]
    assert words == ["0–5 %", "5–10 %", "10–15 %", "15–20 %", "20–30 %", "30–50 %", "over 50 %"]


def test_on_a_phone_the_legend_says_every_step_in_two_rows() -> None:
    narrow = load_legend("legend-narrow", in_a_row=4)
    words = [text.text for text in parsed(narrow).iter(f"{SVG}text")]
    assert words[0] == "0–5 %"
    assert len(words) == 7
    assert narrow.count('class="strip"') == 2
    assert 'viewBox="-1 -1 256 ' in narrow
