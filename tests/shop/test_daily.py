"""What is done once a day."""

import datetime
import threading
import time

import pytest

from shoprepair.shop import daily
from shoprepair.shop.outbox import worker

pytestmark = pytest.mark.django_db

MONDAY = datetime.date(2026, 5, 4)
TUESDAY = datetime.date(2026, 5, 5)


@pytest.fixture
def done(monkeypatch):
    """Two duties, of which the first fails; what was begun, in order."""
    begun = []

    def fail():
        begun.append("fails")
        raise ValueError("as the test wants it")

    monkeypatch.setattr(daily, "_DUTIES", {})
    daily.duty("fails", fail)
    daily.duty("works", lambda: begun.append("works"))
    return begun


def test_each_duty_is_done_once_a_day(done):
    assert daily.run_due(MONDAY) == ["works"]
    assert daily.run_due(MONDAY) == []
    assert daily.run_due(TUESDAY) == ["works"]
    assert done == ["fails", "works"] * 2


def test_a_duty_that_fails_is_logged_and_keeps_no_other_from_being_done(done, caplog):
    daily.run_due(MONDAY)
    assert "went wrong: fails" in caplog.text


def test_a_clock_that_was_set_back_does_nothing_twice(done):
    daily.run_due(TUESDAY)
    assert daily.run_due(MONDAY) == []


def test_whoever_writes_the_day_down_first_does_it(done):
    assert [daily.take("works", MONDAY), daily.take("works", MONDAY)] == [True, False]


def test_the_shop_forgets_enquiries_unnames_invoices_and_reckons_its_dates_every_day():
    assert set(daily.duties()) >= {
        "enquiries-forgotten",
        "tries-pruned",
        "invoices-unnamed",
        "dates-reckoned",
    }


def test_the_outbox_worker_does_it_between_letters(done):
    stop = threading.Event()
    daily.duty("ends the test", stop.set)
    worker.run(stop=stop, pause_s=0.01)
    assert done == ["fails", "works"]


@pytest.mark.django_db(transaction=True)
def test_what_takes_long_is_done_a_little_at_a_time_without_a_pause(done, monkeypatch):
    stop, left, began = threading.Event(), [1, 2, 3, 4], time.monotonic()

    def a_little() -> bool:
        left.pop()
        if not left:
            stop.set()
        return bool(left)

    monkeypatch.setattr(daily, "_WATCHES", {"takes long": a_little})
    worker.run(stop=stop, pause_s=20)
    assert left == []
    assert time.monotonic() - began < 20
