import datetime

import pytest

from shoprepair.counter.promise import Haste, promise

WEDNESDAY = datetime.date(2025, 11, 26)


@pytest.mark.parametrize(
    ("days", "words", "haste"),
    [
        (-400, "400 days late", Haste.LATE),
        (-2, "2 days late", Haste.LATE),
        (-1, "1 day late", Haste.LATE),
        (0, "promised today", Haste.TODAY),
        (1, "promised tomorrow", Haste.SOON),
        (2, "promised Fri 28 Nov", Haste.SOON),
        (3, "promised Sat 29 Nov", Haste.SOON),
        (9, "promised Fri 5 Dec", Haste.LATER),
        (300, "promised 22 Sep 2026", Haste.LATER),
    ],
)
def test_a_promise_says_how_late_it_is_or_when_it_falls_due(days, words, haste):
    said = promise(WEDNESDAY + datetime.timedelta(days=days), WEDNESDAY)

    assert said.words.replace("\N{NO-BREAK SPACE}", " ") == words
    assert said.haste == haste


def test_gear_that_lies_ready_is_not_late_however_long_it_waits():
    said = promise(WEDNESDAY - datetime.timedelta(days=2), WEDNESDAY, ready=True)

    assert said.words.replace("\N{NO-BREAK SPACE}", " ") == "promised Mon 24 Nov"
    assert said.haste == Haste.LATER


def test_a_date_does_not_break_between_its_words():
    assert " " not in promise(WEDNESDAY + datetime.timedelta(days=9), WEDNESDAY).words.removeprefix(
        "promised "
    )
