"""When a usual repair would be ready that comes in today."""

import datetime

import pytest
import time_machine
from django.utils import timezone

from shoprepair.jobs.models import Stage
from shoprepair.work import forecast, next_free, to_do, waiting
from shoprepair.work.models import BenchHours, NextFree
from shoprepair.work.promise import Shop
from shoprepair.work.ranges import ranges
from tests.factories import JobFactory
from tests.shelves import stocked
from tests.work.test_forecast import MONDAY, WEEKDAYS, agreed_job, on

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _monday():
    with time_machine.travel(MONDAY, tick=False):
        yield


@pytest.fixture(autouse=True)
def _hours(bench):
    stocked()
    return BenchHours.objects.create(who=bench, minutes=list(WEEKDAYS))


def test_on_an_empty_bench_a_usual_repair_is_ready_within_days():
    forecast.refresh()
    dates = next_free.read()
    assert on(23) <= dates.likely_on <= dates.late_on <= on(27)


def test_a_full_bench_puts_it_off_by_as_long_as_the_work_ahead_takes():
    forecast.refresh()
    empty = next_free.read()
    for _ in range(5):
        agreed_job(360, due=30)
    forecast.refresh()
    assert next_free.read().likely_on - empty.likely_on >= datetime.timedelta(days=7), (
        "five days and a weekend"
    )


def test_the_job_that_there_is_not_puts_off_none_that_there_is():
    for number in range(4):
        agreed_job(300 + number, due=20 * number)
        JobFactory(stage=Stage.CHECKED_IN, damage_count=number, promised_on=on(24 + number))
    now, usual = timezone.localtime(), waiting.Usual()
    agreed, asked = waiting.agreed(now, 50, usual), [each.job for each in waiting.asked(now, 50, usual)]
    one_more = next_free.usual_job([*agreed, *asked], now, usual)
    shop = Shop(people=to_do.people(), now=now)

    with_it = ranges(agreed, [*asked, one_more], shop)

    assert with_it.pop(next_free.NUMBER).likely_on >= max(each.likely_on for each in with_it.values())
    assert with_it == ranges(agreed, asked, shop)


def test_dates_that_nobody_reckoned_for_days_are_not_told():
    forecast.refresh()
    assert next_free.read()
    assert next_free.read(timezone.now() + datetime.timedelta(days=3)) is None


def test_a_day_that_is_past_is_not_promised():
    forecast.refresh()
    NextFree.objects.update(likely_on=on(22))
    assert next_free.read() is None


def test_where_nobody_works_nothing_is_promised():
    BenchHours.objects.update(minutes=[0] * 7)
    forecast.refresh()
    assert next_free.read() is None
