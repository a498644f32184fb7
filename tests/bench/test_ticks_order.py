"""A device's clock may be wrong and its line slow: how long a tap waited, and what came before it, hold."""

import datetime

import pytest

from shoprepair.bench.forms.ticks import tapped_at
from shoprepair.bench.ticking import in_order
from shoprepair.work import steps
from shoprepair.work.models import Tick
from tests.work.benching import on_the_bench, tap

NOW = datetime.datetime(2026, 11, 25, 14, 0, tzinfo=datetime.UTC)
HOUR = datetime.timedelta(hours=1)


@pytest.mark.parametrize("wrong", [-30 * HOUR, 0 * HOUR, 7 * HOUR])
def test_a_tap_an_hour_ago_was_an_hour_ago_whatever_the_devices_clock_says(wrong):
    assert tapped_at(NOW + wrong - HOUR, NOW + wrong, NOW) == NOW - HOUR


def test_a_clock_set_back_meanwhile_makes_a_tap_of_now():
    assert tapped_at(NOW, NOW - HOUR, NOW) == NOW


def test_a_tap_without_a_time_is_of_now_and_none_is_in_the_future():
    assert tapped_at(None, None, NOW) == NOW
    assert tapped_at(NOW + HOUR, None, NOW) == NOW


@pytest.mark.django_db
def test_a_tap_never_comes_before_the_one_that_its_device_kept_before_it(bench):
    step = steps.of(on_the_bench(bench))[0]
    tap(step, "start", bench, key="first")
    first = Tick.objects.get()
    assert in_order(first.at - HOUR, "first", bench) > first.at
    assert in_order(first.at - HOUR, "unknown", bench) == first.at - HOUR
