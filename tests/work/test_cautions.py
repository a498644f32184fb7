"""What to beware of is told apart from what to do."""

import json
from pathlib import Path

import pytest

from shoprepair.work.cautions import Told, split, told


@pytest.mark.parametrize(
    ("sentence", "text", "caution"),
    [
        (
            "Sew two rows; fingers beside the foot, never before the needle.",
            "Sew two rows.",
            "Fingers beside the foot, never before the needle.",
        ),
        (
            "Wipe both sides with alcohol, window open and no flame near, and let it dry.",
            "Wipe both sides with alcohol, and let it dry.",
            "Window open and no flame near.",
        ),
        (
            "Pump it in steps, eyes and ears protected: air under pressure can burst.",
            "Pump it in steps.",
            "Eyes and ears protected: air under pressure can burst.",
        ),
        (
            "Cut the new film with shears: no heat, it lets off bad fumes.",
            "Cut the new film with shears.",
            "No heat, it lets off bad fumes.",
        ),
        ("Baste it in from the middle of each side.", "Baste it in from the middle of each side.", ""),
    ],
)
def test_a_caution_is_split_off_the_sentence_it_stands_in(sentence, text, caution):
    assert split(sentence) == Told(text, caution)


def test_a_sentence_that_is_nothing_but_a_caution_goes_with_the_step_after_it():
    assert told(["Never iron it.", "Rub it down.", "Never wring it."]) == [
        Told("Rub it down.", "Never iron it. Never wring it.")
    ]


def test_no_word_of_the_catalogue_is_lost_when_cautions_are_split_off():
    operations = json.loads(Path("fixtures/operations.json").read_text())
    for sentence in (each for operation in operations for each in operation["steps"]):
        step = split(sentence)
        assert step.text
        kept = f"{step.text} {step.caution}".casefold()
        assert sorted(_words(sentence.casefold())) == sorted(_words(kept)), sentence


def _words(sentence: str) -> list[str]:
    return "".join(mark if mark.isalnum() else " " for mark in sentence).split()
