"""The rolled-out tube as it is drawn: to one scale, each part where the figures have it."""

import re

import pytest

from shoprepair.gear.diagram import tube_unrolled
from shoprepair.gear.planform import Planform
from shoprepair.gear.unrolling import Stretch
from shoprepair.mechanics.description import FindingKind
from tests.cover.cloth import KITE, WING
from tests.gear.test_unrolling import on_a_strut, on_the_edge


@pytest.fixture(params=[WING, KITE], ids=["wing", "kite"])
def planform(request: pytest.FixtureRequest) -> Planform:
    return request.param


def test_it_is_as_wide_and_as_tall_as_the_cloth_in_millimetres(planform: Planform) -> None:
    seen = on_the_edge(planform, 0.4, 0.0)
    assert [float(n) for n in tube_unrolled.box(seen).split()] == pytest.approx(
        [0, 0, 1000 * seen.wide_m, 1000 * seen.girth_m], abs=0.06
    )


def test_every_face_that_can_be_said_is_a_band_of_a_quarter(planform: Planform) -> None:
    for seen in (on_the_edge(planform, 0.4, 0.0), on_a_strut(planform, 1, "right", 0.4)):
        drawn = str(tube_unrolled.cloth(planform, seen))
        assert re.findall(r'data-band="(\w+)"', drawn) == list(seen.said)
        assert drawn.count("roll-band") == 4
        heights = [float(n) for n in re.findall(r'roll-band[^>]*height="([\d.]+)"', drawn)]
        assert heights == pytest.approx([250 * seen.girth_m] * 4, abs=0.06)


@pytest.mark.parametrize("kind", [FindingKind.CUT, FindingKind.SCUFF, FindingKind.SEAM_OPENED])
def test_a_damage_is_as_long_as_it_was_measured(kind: FindingKind) -> None:
    for length_m in (0.012, 0.04, 0.9):
        drawn = str(tube_unrolled.damage(kind, length_m))
        numbers = [float(n) for n in re.findall(r"-?\d*\.?\d+", drawn)]
        assert max(numbers) >= 500 * length_m - 0.06
        assert f"{500 * length_m:g}" in drawn
        assert "is-unmeasured" not in drawn


def test_a_hole_of_five_millimetres_is_a_disc_of_five_millimetres() -> None:
    assert 'r="2.5"' in tube_unrolled.damage(FindingKind.HOLE, 0.005)


@pytest.mark.parametrize("kind", list(FindingKind))
def test_what_nobody_has_measured_says_so_and_is_drawn_all_the_same(kind: FindingKind) -> None:
    drawn = str(tube_unrolled.damage(kind, None))
    assert "is-unmeasured" in drawn
    assert "<path" in drawn or "<circle" in drawn or "<ellipse" in drawn


def test_a_doubled_stretch_is_hatched_within_its_ends(lunde: Planform) -> None:
    seen = on_the_edge(lunde, 0.0, 0.0)
    drawn = str(tube_unrolled.cloth(lunde, seen))
    (hatch,) = re.findall(r'class="roll-doubled" d="([^"]+)"', drawn)
    (ends,) = re.findall(r'class="roll-doubled-end" d="([^"]+)"', drawn)
    low, high = (float(n) for n in re.findall(r"M(-?[\d.]+) ", ends))
    xs = [float(n) for n in re.findall(r"[ML](-?[\d.]+) ", hatch)]
    assert low - 0.06 <= min(xs) < max(xs) <= high + 0.06


def _width(seen: Stretch, steps: tuple[float, ...]) -> tuple[float, float]:
    drawn, length_m = tube_unrolled.scale_bar(seen, steps)
    fields = [float(n) for n in re.findall(r'<rect[^>]* width="([\d.]+)"', drawn)]
    return sum(fields), length_m


def test_the_scale_bar_is_as_long_as_it_says(planform: Planform) -> None:
    wide, length_m = _width(on_the_edge(planform, 0.3, 0.0), (0.01, 0.1, 0.2, 0.5))
    assert wide == pytest.approx(1000 * length_m, abs=0.5)
