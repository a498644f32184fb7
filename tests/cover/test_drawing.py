"""The drawings are to scale, sharp and light, and readable without colour."""

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from shoprepair.cover import drawing, footprints
from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.drawing.on_planform import close_up, middle_of
from shoprepair.cover.footprints import Footprint
from shoprepair.gear.diagram import Pin
from shoprepair.mechanics.description import Direction, Element, Face
from shoprepair.shop.units import Units
from tests.cover.cloth import KITE, WING, damage, patch, patch_layup, place, seam_layup

SVG = "{http://www.w3.org/2000/svg}"
CANOPY = place(Element.CANOPY, fraction=0.3, station=0.7)
VALVE = place(Element.VALVE, station=0.1)
STRUT = place(Element.STRUT, strut=1, fraction=0.3, station=0.52)
BACK = damage("seam opened", place(face=Face.BACK))


def made(of: DamageView, area: str, operation: str, layup: dict[str, Any] | None = None) -> Footprint:
    return footprints.of(WING, of, area, layup or {}, operation=operation)


CASES = {
    "patch": ([patch()], damage(length_m=0.05)),
    "three over each other": (
        [patch(), patch(damage(at=place(station=0.34))), patch(damage(at=place(station=0.29)), rows=3)],
        damage(direction=Direction.UNKNOWN),
    ),
    "seam": ([made(BACK, "seam", "closing-seam-resew", seam_layup())], BACK),
    "ring": ([made(damage(), "casing", "casing-panel")], damage("burst", length_m=None)),
    "strut": ([made(damage(at=STRUT), "casing", "casing-patch", patch_layup())], damage(at=STRUT)),
    "panel": ([made(damage(at=CANOPY), "canopy", "canopy-panel")], damage(at=CANOPY)),
    "film": ([made(damage("leak"), "bladder", "bladder-replace-le")], damage("leak", length_m=None)),
    "fitting": ([made(damage("leak", VALVE), "valve", "valve-reseal")], damage("leak", VALVE)),
    "far": ([patch()], damage(at=place(station=0.9))),
    "side not said": ([patch()], damage(at=place(face=Face.UNKNOWN))),
    "no damage": ([patch()], None),
    "on another part": ([patch()], damage(at=CANOPY)),
}


def read(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


@pytest.mark.parametrize("case", CASES)
def test_every_kind_of_repair_is_drawn_whole_and_light(case: str) -> None:
    shown, later = CASES[case]
    labels = [str(12 + n) for n in range(len(shown))]
    svg = drawing.unrolled(WING, shown, later, Units(), "Cover <12>", labels=labels)
    sheet = read(svg)
    title = sheet.find(f"{SVG}title")
    assert title is not None
    assert title.text == "Cover <12>"
    assert "style=" not in svg
    assert not {"nan", "inf"} & set(re.findall(r"\b(nan|inf)\b", svg))
    assert len(svg) < 60_000
    assert all(label in "".join(sheet.itertext()) for label in labels)


def rectangles(svg: str, class_: str) -> list[tuple[float, float]]:
    return [
        (float(rect.get("width", 0)), float(rect.get("height", 0)))
        for rect in read(svg).iter(f"{SVG}rect")
        if rect.get("class") == class_
    ]


def test_a_patch_its_rows_and_the_bar_are_drawn_to_one_scale() -> None:
    svg = drawing.unrolled(WING, [patch(along=0.12, around=0.08, rows=2)], damage(), Units(), "")
    ((wide, tall),) = rectangles(svg, "footprint-outline")
    assert wide / tall == pytest.approx(0.12 / 0.08, rel=0.01)
    outer, inner = rectangles(svg, "footprint-row")
    assert outer[0] / wide == pytest.approx(0.11 / 0.12, rel=0.01)
    assert inner[0] / wide == pytest.approx(0.098 / 0.12, rel=0.01)
    bar = sum(width for width, _ in rectangles(svg, "unrolled-scale-dark")) * 2
    said = re.search(r">(\d+) mm<", svg)
    assert said is not None
    assert wide / bar == pytest.approx(0.12 / (int(said[1]) / 1000), rel=0.01)


def test_the_damage_is_drawn_as_long_as_it_is_and_where_it_lies() -> None:
    svg = drawing.unrolled(WING, [patch()], damage(length_m=0.05), Units(), "")
    ((wide, _),) = rectangles(svg, "footprint-outline")
    torn = next(each for each in read(svg).iter(f"{SVG}path") if each.get("class") == "damage-line")
    steps = [tuple(map(float, step.split())) for step in torn.get("d", "")[1:].split("L")]
    assert (steps[-1][0] - steps[0][0]) / wide == pytest.approx(0.05 / 0.12, rel=0.02)


def test_the_distance_to_a_damage_beside_is_measured_in_the_readers_units() -> None:
    beside = damage(at=place(station=0.36), length_m=0.02)
    assert re.search(r">\d+ mm</text></g>", drawing.unrolled(WING, [patch()], beside, Units(), ""))
    assert " in<" in drawing.unrolled(WING, [patch()], beside, Units(length="in"), "")


def test_the_faces_of_a_tube_are_named_and_its_seams_dashed() -> None:
    ring = made(damage(), "casing", "casing-panel")
    svg = drawing.unrolled(WING, [ring], None, Units(), "")
    assert {"front", "top", "back", "underside"} <= set(read(svg).itertext())
    assert svg.count('class="unrolled-seam"') >= 2


def test_two_drawings_share_a_page_without_sharing_a_name() -> None:
    one, two = (drawing.unrolled(WING, [patch()], None, Units(), "", unique=name) for name in ("a", "b"))
    assert not set(re.findall(r' id="([^"]+)"', one)) & set(re.findall(r' id="([^"]+)"', two))


def test_on_the_whole_drawing_what_lies_beneath_is_dashed() -> None:
    beneath = patch(damage(at=place(face=Face.UNDERSIDE)))
    svg = drawing.on_planform(WING, [patch(), beneath], pins=[Pin(12, 0.5, 0.0)], title="All covers")
    assert svg.count('class="footprint-outline"') == 1
    assert svg.count('class="footprint-outline is-beneath"') == 1
    assert "12" in "".join(read(svg).itertext())


def test_a_repair_on_a_part_that_the_drawing_lacks_is_left_out() -> None:
    far_strut = footprints.of(
        KITE, damage(at=place(Element.STRUT, strut=2, fraction=0.4, station=0.7)), "casing", patch_layup()
    )
    assert "footprint-outline" in drawing.on_planform(KITE, [far_strut])
    assert "footprint-outline" not in drawing.on_planform(WING, [far_strut])


@pytest.mark.parametrize("case", ["ring", "strut", "panel", "film", "fitting", "patch"])
def test_from_near_a_repair_is_seen_with_the_damage_beside_it(case: str) -> None:
    repairs, later = CASES[case]
    alone, beside = (
        close_up(WING, repairs, seen, title="From near", labels=("7",)) for seen in (None, later)
    )
    assert "Cover 7" in alone
    assert "Damage 1" not in alone
    assert "Damage 1" in beside


def test_from_near_a_repair_on_a_part_that_the_drawing_lacks_lies_at_the_centre() -> None:
    strut = place(Element.STRUT, strut=2, fraction=0.4, station=0.7)
    far = footprints.of(KITE, damage("burst", strut), "bladder", {}, operation="bladder-replace-strut")
    middle = middle_of(WING, far)
    assert (middle.x_m, middle.y_m) == (0, 0)
