import re
from xml.etree import ElementTree

import pytest

from shoprepair.gear.diagram import Pin, draw, glyph, glyph_base
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Band
from tests.gear.conftest import NAMES, Library

FOUR = [(0.3, 0.02, Band.GROUNDED), (-0.4, 0.3, Band.WATCH), (0.0, 0.5, ""), (0.6, 0.4, Band.NEXT_SERVICE)]


@pytest.mark.parametrize("name", NAMES)
def test_a_glyph_with_four_pins_weighs_little(drawn: Library, name: str) -> None:
    svg = glyph(drawn[name].planform, FOUR)
    assert len(svg.encode()) <= 2500
    assert svg.count("<circle") == 4
    ElementTree.fromstring(svg)


def test_the_base_is_made_once(holm: Planform) -> None:
    assert glyph_base(holm) is glyph_base(holm)
    assert glyph_base(holm) in glyph(holm, FOUR)


@pytest.mark.parametrize("name", NAMES)
def test_dots_lie_within_the_glyph(drawn: Library, name: str) -> None:
    planform = drawn[name].planform
    corners = [(side * planform.half_span_m, planform.sweep_m, Band.WATCH) for side in (-1, 1)]
    for circle in ElementTree.fromstring(glyph(planform, corners)).iter("{http://www.w3.org/2000/svg}circle"):
        assert 0 < float(circle.attrib["cx"]) < 120
        assert 0 < float(circle.attrib["cy"]) < 60


def test_draw_gives_the_glyph_too(holm: Planform) -> None:
    pins = [Pin(n, x, y, band) for n, (x, y, band) in enumerate(FOUR, 1)]
    assert draw(holm, detail="glyph", pins=pins) == glyph(holm, FOUR)


def test_a_glyph_is_decoration_unless_it_is_named(holm: Planform) -> None:
    assert 'aria-hidden="true"' in glyph(holm)
    assert 'aria-label="Holm"' in glyph(holm, title="Holm")


@pytest.mark.parametrize("name", NAMES)
def test_both_halves_are_told_in_the_same_letters(drawn: Library, name: str) -> None:
    told = re.findall(r'<path d="([^"]+)" class="(g-canopy|g-edge)"', glyph_base(drawn[name].planform))
    assert [class_ for _, class_ in told] == ["g-canopy", "g-canopy", "g-edge", "g-edge"]
    assert told[0] == told[1]
    assert told[2] == told[3]
