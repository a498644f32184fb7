import re

import pytest

from shoprepair.gear.diagram import STEPS, draw, load_map, regions, step
from shoprepair.gear.diagram.loads import doubling_id
from shoprepair.mechanics import assessment
from shoprepair.mechanics.description import DEFAULT_CASES, Element
from tests.gear.conftest import NAMES, Library


def edges(drawn: Library, name: str) -> list[float]:
    """Load ratios of the right half's segments from the centre to the tip."""
    one = drawn[name]
    load = load_map(one.planform, one.pattern)
    return [load[f"edge-right-{n}"] for n in range(1, one.planform.segments + 1)]


@pytest.mark.parametrize("name", NAMES)
def test_every_tube_is_mapped_and_both_sides_alike(drawn: Library, name: str) -> None:
    one = drawn[name]
    load = load_map(one.planform, one.pattern)
    tubes = {r.id for r in regions(one.planform) if r.element in {Element.LEADING_EDGE, Element.STRUT}}
    assert tubes <= set(load)
    for region in tubes:
        assert load[region] == load[region.replace("left", "right")]
        assert load[region] > 0


@pytest.mark.parametrize("name", ["Holm 5.0 wing", "Alke 2.5 wing", "Rype 6.0 wing"])
def test_the_same_cloth_works_hardest_at_the_centre_and_least_at_the_tips(drawn: Library, name: str) -> None:
    """Common practice, no source."""
    ratios = edges(drawn, name)
    assert ratios == sorted(ratios, reverse=True)


def test_a_segment_shows_its_worse_end(drawn: Library) -> None:
    at_the_centre = assessment.sound_load_ratio(drawn["Holm 5.0 wing"].pattern, 0.0, DEFAULT_CASES)
    assert edges(drawn, "Holm 5.0 wing")[0] == pytest.approx(at_the_centre, rel=1e-3)


def test_a_doubled_stretch_shows_half_the_load_of_the_single_cloth_beside_it(drawn: Library) -> None:
    one = drawn["Lunde 5.4 wing"]
    load = load_map(one.planform, one.pattern)
    assert load[doubling_id(1)] < 0.62 * load["edge-right-1"]


def test_steps_grow_darker_and_denser_together() -> None:
    greys = [int(s.grey[1:3], 16) for s in STEPS]
    spacings = [s.spacing_pens or 99.0 for s in STEPS]
    assert greys == sorted(set(greys), reverse=True)
    assert spacings == sorted(set(spacings), reverse=True)


@pytest.mark.parametrize(("ratio", "number"), [(0.0, 0), (0.05, 1), (0.199, 3), (0.2, 4), (0.5, 6), (9.0, 6)])
def test_a_ratio_falls_in_one_step(ratio: float, number: int) -> None:
    assert step(ratio).number == number


def hatch_length(svg: str) -> int:
    """How many hatch lines a drawing has."""
    return sum(path.lower().count("m") for path in re.findall(r'<path d="([^"]*)" class="hatch"', svg))


def test_more_load_means_more_hatching_so_that_grey_paper_tells_it(drawn: Library) -> None:
    planform = drawn["Holm 5.0 wing"].planform
    ids = [r.id for r in regions(planform) if r.element is Element.LEADING_EDGE]
    counts = [
        hatch_length(draw(planform, detail="paper", load=dict.fromkeys(ids, ratio)))
        for ratio in (0.02, 0.07, 0.12, 0.17, 0.25, 0.4, 0.9)
    ]
    assert counts == sorted(set(counts))
    assert counts[0] == 0


def test_classes_carry_the_steps_to_the_screen(drawn: Library) -> None:
    one = drawn["Holm 5.0 wing"]
    assert 'class="part load-4"' in draw(one.planform, load=load_map(one.planform, one.pattern))
    assert "load-" not in draw(one.planform)
