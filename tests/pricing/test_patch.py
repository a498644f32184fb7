import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from shoprepair.pricing.layup import casing_layup
from shoprepair.pricing.patch import draw
from shoprepair.pricing.resewing import seam
from shoprepair.pricing.tape import tape

LINE_TENSION, CLOTH = 12_000, 45_000


def layup(extent_m, plies=1):
    return casing_layup(
        tension_n_per_m=LINE_TENSION, cloth_n_per_m=CLOTH, extent_m=extent_m, existing_plies=plies
    )


def drawn(extent_m, units, plies=1):
    return ElementTree.fromstring(draw(layup(extent_m, plies), units, on_a_tube=True))


def sized(rect):
    return float(rect.get("width")), float(rect.get("height"))


def test_the_outline_is_drawn_to_scale_with_its_measures(metric):
    patch = layup((0.04, 0.1))
    svg = draw(patch, metric, on_a_tube=True)

    wide, tall = sized(ElementTree.fromstring(svg).find(".//*[@class='patch-cloth']"))

    assert tall / wide == pytest.approx(patch.outline_m[1] / patch.outline_m[0], rel=1e-3)
    assert f"{patch.outline_m[0] * 1000:.0f} mm along" in svg
    assert f"{patch.outline_m[1] * 1000:.0f} mm" in svg


@pytest.mark.parametrize("of", ["patch", "tape"])
def test_what_lies_on_a_canopy_goes_around_nothing(of, metric):
    taped = tape(material="ripstop tape", tension_n_per_m=90, extent_m=(0.1, 0), stiffness_n_per_m=80_000)
    svg = ElementTree.fromstring(
        draw(layup((0.04, 0.1)) if of == "patch" else taped, metric, on_a_tube=False)
    )

    words = " ".join(svg.itertext())
    assert "mm along the span" in words
    assert "mm from front to back" in words
    assert "around" not in words + svg.get("aria-label")


def test_every_row_of_stitches_lies_inside_the_one_before(metric):
    rows = drawn((0.04, 0.1), metric, plies=2).findall(".//*[@class='patch-row']")

    assert len(rows) == layup((0.04, 0.1), 2).rows
    widths = [sized(row)[0] for row in rows]
    assert widths == sorted(widths, reverse=True)


def test_the_cut_shows_as_many_plies_as_the_patch_has(metric):
    for plies in (1, 2):
        svg = drawn((0.03, 0.03), metric, plies)

        assert len(svg.findall(".//*[@class='patch-ply']")) == layup((0.03, 0.03), plies).plies


def test_the_drawing_reads_in_the_readers_own_units(imperial):
    assert "mm" not in draw(layup((0.05, 0.0)), imperial, on_a_tube=True)


def test_a_pinhole_is_still_seen(metric):
    path = drawn((0.0, 0.0), metric).find(".//*[@class='patch-damage']").get("d")

    xs = [float(x) for x in re.findall(r"[ML](-?[\d.]+) ", path)]
    assert max(xs) - min(xs) >= 8


def test_tape_shows_no_stitches_and_seams_no_patch(metric):
    taped = draw(
        tape(material="ripstop tape", tension_n_per_m=90, extent_m=(0.1, 0.0), stiffness_n_per_m=80_000),
        metric,
        on_a_tube=False,
    )
    sewn = draw(seam(opened_m=0.2, tension_n_per_m=LINE_TENSION, cloth_n_per_m=CLOTH), metric, on_a_tube=True)

    assert "patch-row" not in taped
    assert "both faces" in taped
    assert sewn.count('class="patch-row"') >= 2
    assert "300 mm sewn anew" in sewn


def test_a_ply_over_worn_cloth_leaves_the_casing_whole_in_the_cut(metric):
    worn = casing_layup(
        tension_n_per_m=2_000, cloth_n_per_m=CLOTH, extent_m=(0.05, 0.05), outside_only=True, least_plies=1
    )
    svg = draw(worn, metric, on_a_tube=True)

    assert "1 outside" in svg
    assert "0 inside" in svg


@pytest.mark.parametrize(("tapes", "said"), [(0, None), (1, "1 strip"), (2, "2 strips")])
def test_a_seam_is_drawn_with_the_strips_beneath_it(tapes, said, metric):
    sewn = seam(
        opened_m=0.1, tension_n_per_m=LINE_TENSION, cloth_n_per_m=CLOTH, patch_n_per_m=CLOTH, existing_plies=1
    )
    words = "".join(
        ElementTree.fromstring(draw(replace(sewn, tapes=tapes), metric, on_a_tube=True)).itertext()
    )
    assert (said or "strip") in words if said else "strip" not in words


def test_a_narrow_strip_leaves_nothing_empty_above_and_under_it(metric):
    tall, narrow = (
        float(ElementTree.fromstring(draw(sized, metric, on_a_tube=True)).get("viewBox").split()[-1])
        for sized in (
            layup((0.1, 0.1)),
            seam(opened_m=0.5, tension_n_per_m=LINE_TENSION, cloth_n_per_m=CLOTH),
        )
    )
    assert narrow < 0.75 * tall


def test_a_side_without_a_ply_is_not_counted(metric):
    only_outside = replace(layup((0.03, 0.03)), plies_inside=0, plies_outside=1)
    assert "1 outside" in draw(only_outside, metric, on_a_tube=True)
    assert "inside" not in "".join(
        ElementTree.fromstring(draw(only_outside, metric, on_a_tube=True)).itertext()
    )


def test_a_single_strip_under_a_seam_is_one(metric):
    taped = replace(seam(opened_m=0.5, tension_n_per_m=LINE_TENSION, cloth_n_per_m=CLOTH), tapes=1)
    assert "1 strip" in ElementTree.fromstring(draw(taped, metric, on_a_tube=True)).itertext()
