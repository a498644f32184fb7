"""Finding in a text what names a person."""

import pytest

from shoprepair.jobs.naming import Naming


@pytest.fixture
def naming() -> Naming:
    naming = Naming()
    naming.add_name("Bo Sandvoort-Ælgård")
    naming.add_phone("+1 (555) 010-7788")
    naming.add("bo@example.com")
    naming.add("B. Sandvoort")
    return naming


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Ring Bo  Sandvoort-Ælgård first.", "Ring (erased) first."),
        ("SANDVOORT-ÆLGÅRD paid; Bo signed.", "(erased) paid; (erased) signed."),
        ("Reached at 1 555 0107788 or BO@example.com.", "Reached at (erased) or (erased)."),
        ("+1 555 010 7788", "+(erased)"),
        ("b. sandvoort said yes", "(erased) said yes"),
        (
            "About the bow and a bo ard, line 15550107788123",
            "About the bow and a bo ard, line 15550107788123",
        ),
    ],
)
def test_a_name_is_found_however_it_is_written_and_no_other_word_is_touched(naming, text, left):
    assert naming.over(text) == left


def test_it_is_found_within_lists_and_objects_and_figures_stay(naming):
    assert naming.over({"note": ["Bo", 3, None], "amount": "15.00"}) == {
        "note": ["(erased)", 3, None],
        "amount": "15.00",
    }


def test_nobody_known_by_nothing_leaves_a_text_as_it_is():
    assert Naming().over("Ring Bo first.") == "Ring Bo first."
