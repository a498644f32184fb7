"""Shapes in a file of their own wear what the style sheet gives them on a page."""

from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.contrib.staticfiles import finders

from shoprepair.gear.diagram import load_map
from shoprepair.gear.diagram.dressed import dressed, looks
from shoprepair.gear.diagram.sheet import SVG, lent
from tests.gear.conftest import NAMES, Library

SHEET = """
/* .diagram .never { fill: red } */
:root { --ink: #000; }
@media (prefers-color-scheme: dark) { :root { --ink: #fff; } .diagram .seam { stroke: white; } }
.diagram .seam,
.diagram .hem { stroke: var(--ink); stroke-width: 1px; }
.diagram .hem { stroke-width: 2px; }
.diagram .region:hover > .part, .strength-plot .seam { stroke: green; }
"""


def tones(shape: ElementTree.Element, inherited: tuple[str, str]) -> Iterator[str]:
    """Fill and stroke of every shape, as it is drawn in the end."""
    fill, stroke = inherited
    fill, stroke = shape.attrib.get("fill", fill), shape.attrib.get("stroke", stroke)
    if not len(shape):
        yield from (fill, stroke)
    for inner in shape:
        yield from tones(inner, (fill, stroke))


@pytest.fixture
def worn() -> dict:
    return looks(Path(str(finders.find("css/diagram.css"))).read_text())


def test_a_class_wears_what_its_rules_say_and_a_later_one_wins():
    assert looks(SHEET) == {
        "seam": {"stroke": "var(--ink)", "stroke-width": "1px"},
        "hem": {"stroke": "var(--ink)", "stroke-width": "2px"},
    }


def test_a_look_stands_before_the_tone_for_paper_and_leaves_the_rest():
    svg = '<g class="seam" fill="none" stroke="#888"><path d="M0 0" class="other" stroke="#999"/></g>'
    assert dressed(svg, looks(SHEET)) == (
        '<g fill="none" stroke="var(--ink,#888)" stroke-width="1px">'
        '<path d="M0 0" stroke="#999" vector-effect="non-scaling-stroke"/></g>'
    )


@pytest.mark.parametrize("name", NAMES)
def test_no_shape_of_a_drawing_keeps_a_tone_for_paper(drawn: Library, worn: dict, name: str) -> None:
    """In the dark it would stand there as on white paper."""
    one = drawn[name]
    shapes = dressed(lent(one.planform, load_map(one.planform, one.pattern), "0-"), worn)
    root = ElementTree.fromstring(f'<svg xmlns="{SVG}">{shapes}</svg>')
    assert not [shape for shape in root.iter() if "class" in shape.attrib]
    assert not [tone for tone in tones(root, ("none", "none")) if tone.startswith("#")]


def test_hoses_stay_as_wide_as_they_are(worn: dict) -> None:
    assert 'vector-effect="none"' in dressed('<path class="hose" stroke-width=".036"/>', worn)
