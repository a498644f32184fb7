import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.conf import settings

from shoprepair.gear.diagram import Pin
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.plot import GROWN_TEXT, NARROW, TEXT, TOPS, Axes, Word, strength_plot
from shoprepair.mechanics.assessment import sound_load_ratio
from shoprepair.mechanics.description import DEFAULT_CASES, Band, Element
from tests.gear.conftest import NAMES, Library

SVG = "{http://www.w3.org/2000/svg}"


def words(svg: str) -> list[str]:
    return [text.text or "" for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("name", NAMES)
def test_every_pattern_has_a_plot_with_named_axes(drawn: Library, name: str) -> None:
    svg = strength_plot(drawn[name].pattern, DEFAULT_CASES)
    assert {"left tip", "centre", "right tip", "0 %"} <= set(words(svg))
    assert " style=" not in svg
    assert "nan" not in svg


def test_the_curve_passes_through_the_load_ratio_at_the_centre(drawn: Library) -> None:
    pattern = drawn["Holm 5.0 wing"].pattern
    ratio = sound_load_ratio(pattern, 0.0, DEFAULT_CASES)
    svg = strength_plot(pattern, DEFAULT_CASES)
    top = next(top for top in TOPS if ratio <= 0.92 * top)
    on = Axes(top)(0.0, ratio)
    curve = re.search(r'd="([^"]*)" class="plot-curve"', svg)
    assert curve is not None
    assert f"L{on.x_m:.1f} ".rstrip("0").replace(".0 ", " ").strip() in curve[1]


def test_a_doubling_is_a_step_in_the_curve(drawn: Library) -> None:
    one = drawn["Lunde 5.4 wing"]
    svg = strength_plot(one.pattern, DEFAULT_CASES)
    curve = re.search(r'd="M([^"]*)" class="plot-curve"', svg)
    assert curve is not None
    points = [tuple(map(float, pair.split())) for pair in curve[1].split("L")]
    jumps = [(a, b) for a, b in pairwise(points) if a[0] == b[0] and abs(a[1] - b[1]) > 20]
    assert len(jumps) == 2


def test_pins_on_other_parts_are_left_out(drawn: Library) -> None:
    pins = [
        Pin(1, 0.3, 0.0, Band.WATCH, element=Element.LEADING_EDGE),
        Pin(2, 0.4, 0.9, Band.WATCH, element=Element.CANOPY),
        Pin(3, 0.5, 0.1, Band.WATCH),
    ]
    said = words(strength_plot(drawn["Holm 5.0 wing"].pattern, DEFAULT_CASES, pins))
    assert {"1", "3"} <= set(said)
    assert "2" not in said


def test_a_pin_that_tells_its_load_ratio_gets_a_stem_and_room(drawn: Library) -> None:
    pattern = drawn["Holm 5.0 wing"].pattern
    svg = strength_plot(pattern, DEFAULT_CASES, [Pin(1, 0.3, 0.0, Band.GROUNDED, load_ratio=float("inf"))])
    assert "plot-stem" in svg
    assert "100 %" in words(svg)
    assert "inf" not in svg


def test_the_plot_names_the_bands_it_reaches(drawn: Library) -> None:
    said = words(strength_plot(drawn["Holm 5.0 wing"].pattern, DEFAULT_CASES))
    assert "Next service from here" in said


def test_on_a_phone_the_plot_says_the_same_half_as_wide(drawn: Library) -> None:
    pattern = drawn["Holm 5.0 wing"].pattern
    narrow = strength_plot(pattern, DEFAULT_CASES, width=NARROW)
    assert words(narrow) == words(strength_plot(pattern, DEFAULT_CASES))
    assert "is-narrow" in narrow
    assert 'viewBox="0 0 320 ' in narrow


@pytest.mark.parametrize("letters", [TEXT, GROWN_TEXT])
@pytest.mark.parametrize("name", NAMES[::4])
def test_no_tag_hides_a_word_and_no_thread_strikes_one_through(
    drawn: Library, name: str, letters: float
) -> None:
    one = drawn[name]
    half = one.planform.half_span_m
    pins = [
        Pin(n, half * (n / 20 - 1), 0.0, Band.REPAIR_FIRST, load_ratio=0.1 + n / 60) for n in range(1, 41)
    ]
    root = ElementTree.fromstring(strength_plot(one.pattern, DEFAULT_CASES, pins, letters=letters))

    above, *_ = [at for at, group in enumerate(root) if group.get("class") == "plot-words"]
    assert above > max(at for at, group in enumerate(root) if group.get("class") in {"threads", "tags"})
    rooms = [
        Word(text.text or "", float(text.get("x")), float(text.get("y")), text.get("text-anchor")).room(
            letters
        )
        for text in root[above]
    ]
    assert len(rooms) > 9
    assert [tag for tag in tags(root) if tag.on_any(rooms)] == []


def test_the_job_sheet_writes_no_word_larger_than_its_plot_leaves_room_for() -> None:
    rules = (Path(settings.BASE_DIR) / "static/css/job.css").read_text()
    written = [float(size) for size in re.findall(r"\.plot text { font-size: (\d+)px; }", rules)]
    assert max(written) == GROWN_TEXT


def tags(root: ElementTree.Element) -> list[Box]:
    """Where the tags of a plot lie."""
    found = []
    for tag in next(group for group in root if group.get("class") == "tags"):
        eye = [float(part) for part in re.findall(r"-?[\d.]+", tag.get("transform", ""))]
        rect = tag.find(f".//{SVG}rect")
        assert rect is not None
        left, top = eye[0] + float(rect.get("x", 0)), eye[1] + float(rect.get("y", 0))
        found.append(Box(left, top, left + float(rect.get("width", 0)), top + float(rect.get("height", 0))))
    return found
