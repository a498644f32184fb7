"""How often somebody outside may try something."""

import datetime
import threading

import pytest
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
        ("what is this" * 20, ("what is this" * 20)[:64]),
    ],
)
def test_one_phone_is_one_address_whatever_its_last_bits(given, taken):
    assert limits.address(RequestFactory(REMOTE_ADDR=given).get("/")) == taken


def test_what_a_visitor_writes_into_the_forwarded_addresses_counts_only_behind_a_proxy(settings):
    request = RequestFactory(REMOTE_ADDR="10.0.0.1").get(
        "/", headers={"X-Forwarded-For": "1.2.3.4, 203.0.113.9"}
    )
    assert limits.address(request) == "10.0.0.1"
    settings.HTTPS = True
    assert limits.address(request) == "203.0.113.9"
