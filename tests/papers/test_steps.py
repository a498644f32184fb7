"""The order of work is common practice, no source."""

import re

import pytest

from shoprepair.mechanics.description import Answer, Element, FindingKind, Fold
from shoprepair.papers.steps import Task, holds_air, needs_opening, rows


def task(kind=FindingKind.CUT, element=Element.LEADING_EDGE, number=1, **more):
    tube = more.pop("tube", "leading edge" if element is Element.LEADING_EDGE else "")
    title = more.pop("title", f"{kind}, {element}")
    return Task(number=number, title=title, element=element, kind=kind, tube=tube, **more)


def stretches(*tasks, **more):
    told = {"test_pressure": "0.50 bar", "grounded": False, "wet": False} | more
    return [stretch for row in rows(tasks, **told) for cell in row for stretch in cell]


def words(*tasks, **more):
    return " ".join(step.text for stretch in stretches(*tasks, **more) for step in stretch.steps)


def headings(*tasks):
    return [stretch.heading for stretch in stretches(*tasks)]


def test_a_casing_cut_is_reached_through_the_closing_seam_and_tested_after():
    assert headings(task()) == ["Before", "Open", "cut, leading edge", "Close", "Hold test", "Last"]


def test_a_canopy_tear_opens_no_tube_and_needs_no_hold_test():
    tear = task(FindingKind.TEAR, Element.CANOPY)

    assert headings(tear) == ["Before", "tear, canopy", "Look", "Last"]


@pytest.mark.parametrize(
    ("kind", "element"),
    [
        (FindingKind.CUT, Element.LEADING_EDGE),
        (FindingKind.BURST, Element.STRUT),
        (FindingKind.SEAM_OPENED, Element.LEADING_EDGE),
        (FindingKind.LEAK, Element.STRUT),
        (FindingKind.SCUFF, Element.LEADING_EDGE),
        (FindingKind.STITCHING, Element.HANDLE),
        (FindingKind.STITCHING, Element.BRIDLE_POINT),
    ],
)
def test_whatever_is_sewn_through_a_casing_takes_the_bladder_out_first(kind, element):
    assert needs_opening(task(kind, element))


@pytest.mark.parametrize(
    ("kind", "element"),
    [
        (FindingKind.TEAR, Element.CANOPY),
        (FindingKind.CRACK, Element.WINDOW),
        (FindingKind.LEAK, Element.VALVE),
        (FindingKind.STAIN, Element.LEADING_EDGE),
        (FindingKind.RESIDUE, Element.LEADING_EDGE),
    ],
)
def test_the_closing_seam_stays_shut_where_nothing_behind_it_is_mended(kind, element):
    assert not needs_opening(task(kind, element))


def test_a_scuff_that_stays_round_is_covered_and_noted():
    round_one = task(FindingKind.SCUFF, fold=Fold.ROUND)

    assert not needs_opening(round_one)
    assert "cover and note it" in words(round_one)
    assert "Cut patches" not in words(round_one)


def test_a_fold_not_tried_is_tried_first_and_counts_as_the_worse():
    untried = task(FindingKind.SCUFF, fold=Fold.UNTRIED)

    assert needs_opening(untried)
    assert "it was not tried" in words(untried)


def test_one_opening_serves_all_repairs_of_a_tube():
    said = words(task(number=1), task(number=2, kind=FindingKind.SCUFF), task(number=5, tube="centre strut"))

    assert "Closing seam of the leading edge, for 1 and 2:" in said
    assert "Closing seam of the centre strut, for 5:" in said


def test_a_casing_patch_goes_inside_and_outside_and_is_stitched_twice():
    assert "Inside and outside on clean cloth, stitched twice." in words(task())


def test_a_doubled_casing_takes_two_or_three_plies():
    assert "two or three plies" in words(task(doubled=True))
    assert "two or three plies" not in words(task())


def test_what_is_sized_later_is_left_to_be_filled_in_by_hand():
    blanks = [step.blanks for stretch in stretches(task()) for step in stretch.steps if step.blanks]

    assert ("plies inside", "outside", "outline") in blanks
    assert ("from", "as far as") in blanks
    assert ("pressure", "air", "at") in blanks


def test_after_a_burst_the_mirror_place_is_checked_before_anything_is_closed():
    assert "Check the mirror place on the other side" in words(task(FindingKind.BURST))


@pytest.mark.parametrize(
    ("through", "said"),
    [
        (Answer.YES, "Clean the film, patch it"),
        (Answer.UNKNOWN, "Check the bladder behind it"),
    ],
)
def test_the_bladder_behind_a_cut_is_patched_or_looked_at(through, said):
    assert said in words(task(through_bladder=through))


def test_a_bladder_known_to_be_whole_is_left_alone():
    assert "bladder behind it" not in words(task(through_bladder=Answer.NO))


def test_a_canopy_tear_is_taped_on_both_faces_after_alcohol_and_a_stick_test():
    said = words(task(FindingKind.TEAR, Element.CANOPY))

    assert "with alcohol, dry, and try whether the tape sticks" in said
    assert "Ripstop tape on both faces" in said
    assert "polyester adhesive cloth on slick coated cloth" in said


def test_residue_that_will_not_peel_is_cut_out_with_its_panel():
    assert "cut out with its panel" in words(task(FindingKind.RESIDUE, Element.CANOPY))


def test_an_old_patch_comes_off_before_the_repair():
    said = words(task(old_patch=Answer.YES))

    assert said.index("Lift the old patch") < said.index("Cut patches")


def test_a_grounded_inflatable_is_not_pumped_before_the_repair():
    assert words(task(), grounded=True).startswith("Do not inflate before the repair.")
    assert "Do not inflate" not in words(task())


@pytest.mark.parametrize("wet", [True, False])
def test_the_cloth_is_bone_dry_whether_it_came_wet_or_not(wet):
    assert re.search("bone[ -]dry", words(task(), wet=wet))


def test_one_wet_damage_is_enough_to_rinse():
    assert "Rinse" in words(task(), task(number=2, wet=Answer.YES))


def test_eyes_and_ears_are_covered_before_test_pressure():
    assert "Eye and ear protection on. Pump to 0.50 bar:" in words(task())


def test_what_came_along_is_packed_again():
    assert words(task(), came_with=("bag", "pump")).endswith("Dry and pack with bag and pump.")


def test_a_damage_nobody_described_is_described_before_work():
    undescribed = Task(number=1, title="Not described yet", element=Element.CANOPY, kind=None)

    assert "answer it on the job sheet first" in words(undescribed)


def test_with_nothing_pinned_nothing_is_pumped():
    assert "pump nothing before it is judged" in words()


@pytest.mark.parametrize("element", list(Element))
@pytest.mark.parametrize("kind", list(FindingKind))
def test_every_finding_on_every_element_has_its_steps(kind, element):
    repair = next(stretch for stretch in stretches(task(kind, element)) if stretch.number == 1)

    assert repair.steps


@pytest.mark.parametrize("kind", list(FindingKind))
def test_whatever_opens_a_tube_is_tested_for_air(kind):
    assert holds_air(task(kind)) or not needs_opening(task(kind))


@pytest.mark.parametrize("count", range(1, 8))
def test_no_row_holds_more_than_fits_beside_each_other(count):
    tears = [
        task(FindingKind.TEAR, Element.CANOPY, number, title=f"{number} mm tear")
        for number in range(1, count + 1)
    ]
    laid = rows(tears, test_pressure="0.50 bar", grounded=False, wet=False)

    assert {len(row) for row in laid} <= ({3} if count == 1 else {2})


def test_what_is_the_same_for_several_damages_is_said_once():
    cuts = [task(number=number) for number in (1, 4, 7)]

    (mended,) = [stretch for stretch in stretches(*cuts) if stretch.number]

    assert mended.alike == (1, 4, 7)
    assert mended.blanks == ("plies inside", "outside", "outline", "rows")


@pytest.mark.parametrize("other", [{"title": "22 mm cut, leading edge"}, {"doubled": True}])
def test_what_differs_in_a_word_is_said_again(other):
    mended = [stretch for stretch in stretches(task(), task(number=2, **other)) if stretch.number]

    assert [stretch.number for stretch in mended] == [1, 2]
    assert not any(stretch.alike for stretch in mended)
