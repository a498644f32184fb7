"""When a letter is tried again, and when it is given up."""

import datetime
from collections.abc import Callable
from typing import Any

import time_machine
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.shop.models import Letter
from shoprepair.shop.outbox import schedule, worker
from tests.shop.post_office import closed_port

MINUTE = datetime.timedelta(minutes=1)
NOW = datetime.datetime(2026, 11, 25, 12, 0, tzinfo=datetime.UTC)


def test_the_pause_begins_at_a_minute_and_doubles_up_to_six_hours() -> None:
    minutes = [schedule.pause_after(tries) / MINUTE for tries in range(1, 13)]

    assert minutes == [1, 2, 4, 8, 16, 32, 64, 128, 256, 360, 360, 360]


@given(st.integers(0, 100_000), st.floats(-100, 100))
def test_a_try_lies_ahead_and_never_after_the_end(tries: int, hours: float) -> None:
    end = NOW + datetime.timedelta(hours=hours)
    again = schedule.next_try(NOW, tries, end)

    if end <= NOW:
        assert again is None
    else:
        assert NOW < again <= end
        assert again - NOW <= schedule.LONGEST_PAUSE


def test_a_letter_is_tried_for_two_days_and_then_stands_as_not_sent(
    write: Callable[..., Letter], settings: Any
) -> None:
    held, settings.EMAIL_PORT = closed_port()
    settings.EMAIL_HOST = "127.0.0.1"
    with held, time_machine.travel(NOW, tick=False) as clock:
        letter = write()
        tries = []
        while letter.state == Letter.State.WAITING:
            clock.move_to(letter.next_try_at)
            tries.append((letter.next_try_at - NOW) / MINUTE)
            worker.send_due()
            letter.refresh_from_db()

    assert tries[:5] == [0, 1, 3, 7, 15]
    assert tries[-1] == 48 * 60
    assert letter.state == Letter.State.FAILED
    assert letter.tries == len(tries) == 17
    assert letter.last_error == "the mail server refused the connection"


def test_nothing_is_tried_before_its_time(write: Callable[..., Letter], settings: Any) -> None:
    held, settings.EMAIL_PORT = closed_port()
    settings.EMAIL_HOST = "127.0.0.1"
    with held, time_machine.travel(NOW, tick=False) as clock:
        letter = write()
        worker.send_due()
        clock.shift(59)
        assert worker.send_due() == 0
        clock.shift(1)
        assert worker.send_due() == 1

    letter.refresh_from_db()
    assert letter.tries == 2
