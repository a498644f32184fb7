import pytest

from shoprepair.jobs.models import Damage
from shoprepair.jobs.questions import element_for, faces_for, kinds_for, questions_for, required
from shoprepair.mechanics.description import Element, FindingKind

EVERY_FIELD = {field.name for field in Damage._meta.concrete_fields}


def test_the_first_question_is_what_it_is() -> None:
    assert questions_for(Damage(element="leading edge")) == ("kind",)


@pytest.mark.parametrize(
    ("element", "kind", "questions"),
    [
        (
            "leading edge",
            "cut",
            ("kind", "length_m", "direction", "face", "through_bladder", "old_patch", "wet", "condition"),
        ),
        ("strut", "scuff", ("kind", "fold", "length_m", "face", "old_patch", "wet", "condition")),
        ("strut", "leak", ("kind", "softens", "wet", "condition")),
        ("leading edge", "burst", ("kind", "face", "old_patch", "wet", "condition")),
        ("canopy", "tear", ("kind", "length_m", "direction", "old_patch", "wet", "condition")),
        ("window", "crack", ("kind", "length_m", "old_patch", "wet", "condition")),
        ("handle", "stitching gone", ("kind", "stitched_left_m", "old_patch", "condition")),
    ],
)
def test_each_kind_of_damage_needs_few_questions(element: str, kind: str, questions: tuple[str, ...]) -> None:
    assert questions_for(Damage(element=element, kind=kind)) == questions


def test_a_cut_at_an_angle_asks_for_the_angle() -> None:
    damage = Damage(element="leading edge", kind="cut", direction="at an angle")
    assert "angle_deg" in questions_for(damage)


def test_an_old_patch_asks_for_what_lies_under_it() -> None:
    damage = Damage(element="leading edge", kind="residue", under_kind="cut")
    assert questions_for(damage) == (
        "kind",
        "under_kind",
        "length_m",
        "direction",
        "face",
        "wet",
        "condition",
    )
    assert required(damage) == ("length_m",)


def test_a_strut_has_neither_front_nor_back() -> None:
    assert faces_for(Damage(element="strut", kind="cut")) == ("top", "underside")
    assert faces_for(Damage(element="strut", kind="residue", under_kind="cut")) == ("top", "underside")
    assert faces_for(Damage(element="leading edge", kind="cut")) == ("top", "front", "back", "underside")


def test_the_back_of_a_strut_tells_which_of_its_seams_opened() -> None:
    assert "back" in faces_for(Damage(element="strut", kind="seam opened"))
    assert "back" in faces_for(Damage(element="strut", kind="residue", under_kind="seam opened"))


def test_every_kind_on_every_element_asks_for_fields_that_exist() -> None:
    for element in Element:
        for kind in kinds_for(element):
            questions = questions_for(Damage(element=element.value, kind=kind.value))
            assert set(questions) <= EVERY_FIELD
            assert len(questions) == len(set(questions))


@pytest.mark.parametrize("element", ["leading edge", "strut"])
def test_sailcloth_does_not_tear_on_a_tube_nor_a_tube_burst_in_the_canopy(element: str) -> None:
    assert FindingKind.TEAR not in kinds_for(element)
    assert FindingKind.BURST in kinds_for(element)
    assert FindingKind.BURST not in kinds_for("canopy")


def test_beside_a_fitting_a_cut_belongs_to_the_tube_and_the_stitching_to_the_fitting() -> None:
    assert element_for("handle", FindingKind.STITCHING, on_strut=True) == Element.HANDLE
    assert element_for("handle", FindingKind.CUT, on_strut=True) == Element.STRUT
    assert element_for("valve", FindingKind.LEAK, on_strut=False) == Element.VALVE
    assert element_for("valve", FindingKind.HOLE, on_strut=False) == Element.LEADING_EDGE
    assert element_for("canopy", FindingKind.TEAR, on_strut=False) == Element.CANOPY
