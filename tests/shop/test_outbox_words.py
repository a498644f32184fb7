"""A letter's state in words, on the shop's clock."""

import datetime

import pytest
import time_machine
from django.utils import timezone, translation

from shoprepair.shop.models import Letter
from shoprepair.shop.outbox.words import say_state

State = Letter.State
NOON = datetime.datetime(2026, 11, 25, 12, 0, tzinfo=datetime.UTC)
TWO = datetime.timedelta(hours=2, minutes=2)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"state": State.SENT, "sent_at": NOON + TWO}, "sent 14:02"),
        ({"state": State.SENT, "sent_at": NOON - datetime.timedelta(days=1)}, "sent 24 Nov 12:00"),
        ({"state": State.SENT}, "sent"),
        ({"state": State.WAITING}, "waiting to be sent"),
        (
            {
                "state": State.WAITING,
                "last_error": "the mail server did not answer",
                "next_try_at": NOON + TWO,
            },
            "waiting: the mail server did not answer, next try 14:02",
        ),
        ({"state": State.SENDING}, "being sent"),
        ({"state": State.UNSURE, "last_error": "the line broke"}, "perhaps sent: the line broke"),
        ({"state": State.FAILED, "last_error": "no such mailbox"}, "not sent: no such mailbox"),
        ({"state": State.FAILED}, "not sent"),
        ({"state": State.CANCELLED}, "not to be sent"),
        ({"state": State.CANCELLED, "claimed_at": NOON}, "perhaps sent once, not to be sent again"),
    ],
)
def test_a_letters_state_is_said_in_words(fields: dict[str, object], words: str) -> None:
    with time_machine.travel(NOON + TWO, tick=False):
        assert say_state(Letter(**fields)) == words


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"state": State.FAILED, "last_error": "no such mailbox"}, "dieses Postfach gibt es nicht"),
        ({"state": State.FAILED, "last_error": "550 go away"}, "550 go away"),
        (
            {"state": State.UNSURE, "last_error": "the line broke while it was being sent"},
            "die Verbindung brach ab, während er gesendet wurde",
        ),
        (
            {"state": State.WAITING, "last_error": "the mail server did not answer", "next_try_at": NOON},
            "der Mailserver hat nicht geantwortet",
        ),
    ],
)
def test_why_a_letter_did_not_leave_is_said_in_the_readers_language_and_a_servers_own_words_as_they_are(
    fields: dict[str, object], words: str
) -> None:
    with translation.override("de"):
        assert words in say_state(Letter(**fields))


def test_what_keeps_every_letter_from_leaving_goes_before_what_happened_to_one() -> None:
    letter = Letter(state=State.WAITING, last_error="the mail server did not answer", next_try_at=NOON)

    assert say_state(letter, "no mail server is set") == "waiting: no mail server is set"


def test_the_clock_is_the_shops() -> None:
    with time_machine.travel(NOON + TWO, tick=False), timezone.override("Asia/Tokyo"):
        assert say_state(Letter(state=State.SENT, sent_at=NOON + TWO)) == "sent 23:02"
