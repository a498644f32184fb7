"""What to beware of is told apart from what to do."""

import json
from pathlib import Path

import pytest

from shoprepair.work.cautions import Told, split, told


@pytest.mark.parametrize(
    ("line", "text", "caution"),
    [
        (
            "Sew two rows. ⚠ Fingers beside the foot, never before the needle.",
            "Sew two rows.",
            "Fingers beside the foot, never before the needle.",
        ),
        ("näh zwei Reihen ⚠ Finger weg", "Näh zwei Reihen.", "Finger weg."),
        ("Cut it ⚠ window open ⚠ gloves on", "Cut it.", "Window open gloves on."),
        ("Baste it in from the middle of each side.", "Baste it in from the middle of each side.", ""),
    ],
)
def test_a_caution_stands_behind_its_sign_in_any_language(line, text, caution):
    assert split(line) == Told(text, caution)


def test_a_line_that_is_nothing_but_a_caution_goes_with_the_step_after_it():
    assert told([("⚠ Never iron it.", ""), ("Rub it down.", "dry"), ("⚠ Never wring it.", "")]) == [
        (Told("Rub it down.", "Never iron it. Never wring it."), "dry")
    ]


def test_every_step_of_the_catalogue_that_can_hurt_somebody_says_so():
    operations = json.loads(Path("fixtures/operations.json").read_text())
    lines = [(line, split(line)) for operation in operations for line in operation["steps"]]
    for line, step in lines:
        assert step.text
        if "hot knife" in step.text or step.text.startswith(("Sew ", "Glue ", "Spread the adhesive")):
            assert step.caution, line
