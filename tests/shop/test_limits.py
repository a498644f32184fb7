"""How often somebody outside may try something."""

import datetime
import threading

import pytest
import time_machine
from django.db import connection
from django.test import RequestFactory
from django.utils import timezone

from shoprepair.shop import limits, turns
from shoprepair.shop.models import Attempt

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)


def tries(count, whom="203.0.113.9", purpose="asking"):
    return [limits.allow(purpose, whom, most=2, per=HOUR) for _ in range(count)]


def test_who_has_tried_too_often_is_refused_and_nobody_else():
    assert tries(3) == [True, True, False]
    assert tries(1, "203.0.113.10") == [True]
    assert tries(1, purpose="calling") == [True]


def test_a_refused_try_does_not_lengthen_the_wait():
    tries(4)
    Attempt.objects.update(at=timezone.now() - HOUR - datetime.timedelta(seconds=1))
    assert tries(1) == [True]


@pytest.mark.django_db(transaction=True)
def test_of_many_who_try_at_the_same_moment_no_more_pass_than_one_after_the_other():
    passed, start = [], threading.Barrier(6)

    def try_once():
        start.wait()
        passed.extend(tries(1))
        connection.close()

    threads = [threading.Thread(target=try_once) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(passed) == [False] * 4 + [True] * 2


def test_a_turn_is_taken_inside_a_transaction_or_not_at_all(transactional_db):
    with pytest.raises(RuntimeError, match="as long as a transaction"):
        turns.take("asking")


def test_who_tried_is_not_to_be_read_from_what_is_kept():
    tries(1, "ilka@sand.example")
    kept = Attempt.objects.get().whom
    assert len(kept) == 64
    assert "ilka" not in kept


def test_tries_are_gone_after_a_day():
    tries(1)
    Attempt.objects.update(at=timezone.now() - limits.LONGEST)
    tries(1)
    assert limits.prune() == 1
    assert Attempt.objects.count() == 1


def test_no_limit_looks_back_further_than_tries_are_kept():
    with pytest.raises(ValueError, match="a day"):
        limits.allow("asking", "x", most=1, per=datetime.timedelta(days=2))


@pytest.mark.parametrize(
    ("given", "taken"),
    [
        ("203.0.113.9", "203.0.113.9"),
        ("2001:db8:5:6:7:8:9:a", "2001:db8:5:6::/64"),
        ("2001:db8:5:6::1", "2001:db8:5:6::/64"),
        ("::ffff:203.0.113.9", "203.0.113.9"),
        ("", ""),
        (None, ""),
        ("what is this" * 20, ("what is this" * 20)[:64]),
    ],
)
def test_one_phone_is_one_address_whatever_its_last_bits(given, taken):
    request = RequestFactory().get("/")
    request.META["REMOTE_ADDR"] = given
    if given is None:
        del request.META["REMOTE_ADDR"]
    assert limits.address(request) == taken


def test_what_a_visitor_writes_into_the_forwarded_addresses_counts_only_behind_a_proxy(settings):
    request = RequestFactory(REMOTE_ADDR="10.0.0.1").get(
        "/", headers={"X-Forwarded-For": "1.2.3.4, 203.0.113.9"}
    )
    assert limits.address(request) == "10.0.0.1"
    settings.HTTPS = True
    assert limits.address(request) == "203.0.113.9"
    for written in ("203.0.113.9", "1.2.3.4, 5.6.7.8,203.0.113.9"):
        request.META["HTTP_X_FORWARDED_FOR"] = written
        assert limits.address(request) == "203.0.113.9"


NOON = datetime.datetime(2031, 5, 4, 12, tzinfo=datetime.UTC)
MINUTE, SECOND = datetime.timedelta(minutes=1), datetime.timedelta(seconds=1)
NOTHING = datetime.timedelta()


def noted(count, whom="203.0.113.9", purpose="keys", every=MINUTE):
    """So many tries, one after the other, the first at noon; what each said of their number."""
    said = []
    for nth in range(count):
        with time_machine.travel(NOON + nth * every, tick=False):
            said.append(limits.note(purpose, whom))
    return said


def test_a_whole_day_may_be_looked_back_upon():
    assert limits.allow("asking", "x", most=1, per=limits.LONGEST)
    assert not limits.allow("asking", "x", most=1, per=limits.LONGEST)


def test_whoever_notes_a_try_hears_how_many_that_makes_within_a_day():
    assert noted(3) == [1, 2, 3]
    assert noted(1, "203.0.113.10") == noted(1, purpose="calling") == [1]
    with time_machine.travel(NOON + limits.LONGEST + MINUTE, tick=False):
        assert limits.note("keys", "203.0.113.9") == 2


def test_who_tried_often_enough_waits_until_the_first_of_those_tries_is_past():
    def wait(at, whom="203.0.113.9"):
        with time_machine.travel(NOON + at, tick=False):
            return limits.wait("keys", whom, most=3, per=HOUR)

    noted(2)
    assert wait(2 * MINUTE) == NOTHING
    Attempt.objects.all().delete()
    noted(4)
    assert wait(4 * MINUTE) == 57 * MINUTE
    assert (wait(61 * MINUTE - SECOND), wait(61 * MINUTE)) == (SECOND, NOTHING)
    assert wait(4 * MINUTE, "203.0.113.10") == NOTHING


def test_the_pause_doubles_with_each_more_up_to_an_hour():
    def pause(count):
        Attempt.objects.all().delete()
        noted(count, every=SECOND)
        with time_machine.travel(NOON + (count - 1) * SECOND, tick=False):
            return limits.growing_wait("keys", "203.0.113.9", most=3, first=SECOND)

    assert [pause(count) for count in (0, 2, 3, 4, 5)] == [NOTHING, NOTHING, SECOND, 2 * SECOND, 4 * SECOND]
    assert (pause(14), pause(15), pause(30)) == (2048 * SECOND, HOUR, HOUR)


def test_a_pause_runs_from_the_last_try_and_is_over_at_its_end():
    noted(4, every=SECOND)
    noted(20, "203.0.113.10")
    waits = []
    for at in (3, 4, 5, 6):
        with time_machine.travel(NOON + at * SECOND, tick=False):
            waits.append(limits.growing_wait("keys", "203.0.113.9", most=3, first=SECOND))
    assert waits == [2 * SECOND, SECOND, NOTHING, NOTHING]


def test_what_is_taken_back_is_theirs_and_the_newest_of_it():
    noted(3)
    noted(1, "203.0.113.10")
    limits.forget("keys", "203.0.113.9", newest=2)
    assert [each.at for each in Attempt.objects.order_by("pk")] == [NOON, NOON]
    limits.forget("keys", "203.0.113.9")
    assert Attempt.objects.count() == 1


def test_the_newest_is_so_by_the_clock_though_it_was_set_back_between():
    for at in (NOON + MINUTE, NOON):
        with time_machine.travel(at, tick=False):
            limits.note("keys", "203.0.113.9")
    limits.forget("keys", "203.0.113.9", newest=1)
    assert Attempt.objects.get().at == NOON
