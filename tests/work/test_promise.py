from dataclasses import replace

import pytest
from hypothesis import given

from shoprepair.shop.units import Units, say
from shoprepair.work.promise import Delays, Shop
from shoprepair.work.ranges import ranges
from shoprepair.work.tasks import StepToDo
from tests.work.shop import (
    ANNA,
    MONDAY,
    TODAY,
    backlogs,
    crews,
    holidays,
    in_days,
    job,
    jobs_to_do,
    on,
    unhurried,
)

SHOP = Shop(people=(ANNA,), now=MONDAY)
LONG = tuple(job(number, minutes=300, due=number, joined=number) for number in range(1, 4))


def promise(new, others=(), shop=SHOP):
    return ranges([*others, new], [], shop)[new.number]


def said(answer):
    return say(answer.reason, Units())


def test_a_small_job_in_an_empty_shop_is_ready_today():
    answer = promise(job(9))
    assert (answer.likely_on, answer.late_on) == (TODAY, TODAY)
    assert said(answer) == "It takes 1 h at the bench."


def test_the_late_date_allows_for_work_that_takes_longer():
    """1260 planned minutes take 1764: past the 1440 of Monday to Friday."""
    answer = promise(job(9, minutes=360, due=20, joined=99), LONG)
    assert answer.likely_on == in_days(4)
    assert answer.late_on == in_days(8)


def test_expected_parts_put_a_job_off_and_may_come_late():
    answer = promise(job(9, parts_there=False, parts_on=in_days(2)))
    assert (answer.likely_on, answer.late_on) == (in_days(2), in_days(7))
    assert said(answer) == "Its parts are expected on Wed 25 Nov."


def test_what_is_wet_waits_until_it_is_dry():
    answer = promise(job(9, dry_at=on(in_days(1), 8)))
    assert answer.likely_on == in_days(1)
    assert said(answer) == "It is not dry before 08:00 on Tue 24 Nov."


def test_a_bond_that_cures_overnight_is_ready_the_day_after():
    glued = job(9, StepToDo(name="glue", minutes=60, wait_minutes=720))
    answer = promise(glued)
    assert answer.likely_on == in_days(1)
    assert said(answer) == "It takes 1 h at the bench, and 12 h of drying, curing and testing."


def test_a_bond_that_cures_over_the_weekend_is_ready_on_monday():
    friday = replace(SHOP, now=on(in_days(4), 8))
    glued = job(9, StepToDo(name="glue", minutes=60, wait_minutes=1440))
    assert promise(glued, shop=friday).likely_on == in_days(7)


def test_nothing_is_ready_on_a_holiday():
    shop = replace(SHOP, holidays=frozenset({TODAY}))
    assert promise(job(9), shop=shop).likely_on == in_days(1)


def test_no_date_is_promised_while_nobody_knows_when_it_goes_on():
    waits, without_parts = job(8, waits_for="the customer"), job(9, parts_there=False)
    assert ranges([waits, without_parts], [], SHOP) == {}


def test_nothing_is_promised_where_nobody_works():
    with pytest.raises(ValueError, match="Nobody has bench minutes"):
        promise(job(9), shop=replace(SHOP, people=()))


def test_delays_do_not_make_anything_earlier():
    with pytest.raises(ValueError, match="cannot make anything earlier"):
        promise(job(9), shop=replace(SHOP, delays=Delays(work_factor=0.5)))


@unhurried
@given(backlogs(most=5), jobs_to_do(99, joined=0), crews(), holidays)
def test_a_promise_is_a_range_on_open_days_after_parts_and_drying(jobs, new, people, closed):
    shop = Shop(people=tuple(people), now=MONDAY, holidays=closed)
    answer = promise(new, jobs, shop)
    assert TODAY <= answer.likely_on <= answer.late_on
    for on_day in (answer.likely_on, answer.late_on):
        assert on_day not in closed
        assert any(p.minutes[on_day.weekday()] and on_day not in p.away for p in people)
    assert new.parts_there or answer.likely_on >= new.parts_on
    assert new.dry_at is None or answer.likely_on >= new.dry_at.date()
    assert say(answer.reason, Units())
