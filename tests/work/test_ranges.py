"""The dates of many jobs at once, from a few plans."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from shoprepair.shop.units import Units, say
from shoprepair.work.dispatch import not_known, plan
from shoprepair.work.promise import Shop, delayed, ready_on
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
    unhurried,
)

SHOP = Shop(people=(ANNA,), now=MONDAY)
LONG = tuple(job(number, minutes=300, due=number, joined=number) for number in range(1, 4))


def said(found):
    return say(found.reason, Units())


def test_many_jobs_get_the_dates_at_which_the_plan_has_them_ready():
    found = ranges(LONG, [], SHOP)

    as_planned, late = (plan(jobs, SHOP.people, now=MONDAY) for jobs in (LONG, delayed(LONG, SHOP.delays)))
    for one in found.values():
        assert one.likely_on == ready_on(as_planned.of(one.job), SHOP)
        assert one.late_on == ready_on(late.of(one.job), SHOP)


def test_the_jobs_ahead_are_the_reason_where_they_take_most_of_the_time():
    found = ranges([*LONG, job(9, due=20, joined=99)], [], SHOP)[9]

    assert said(found) == "Ahead of it: 3 jobs, 15 h at the bench."


def test_parts_are_the_reason_where_they_take_most_of_the_time():
    found = ranges([job(9, parts_there=False, parts_on=in_days(10))], [], SHOP)[9]

    assert found.likely_on == in_days(10)
    assert said(found).startswith("Its parts are expected on")


def test_a_small_job_in_an_empty_shop_says_its_own_work():
    found = ranges([job(9)], [], SHOP)[9]

    assert found.likely_on == TODAY
    assert said(found) == "It takes 1 h at the bench."


def test_a_job_whose_steps_are_all_done_is_ready():
    found = ranges([replace(job(9), steps=())], [], SHOP)[9]

    assert found.likely_on == TODAY
    assert said(found) == "All that is agreed is done."


def test_a_job_that_nobody_agreed_moves_no_agreed_job_but_may():
    """Four hundred minutes that are promised sooner, and may be agreed tomorrow."""
    agreed = job(1, minutes=60, due=5, joined=1)
    without = ranges([agreed], [], SHOP)[1]
    beside = ranges([agreed], [job(2, minutes=600, due=0, joined=0)], SHOP)[1]

    assert beside.likely_on == without.likely_on
    assert beside.late_on > without.late_on


def test_a_job_that_nobody_agreed_leaves_the_customer_days_to_answer():
    found = ranges([], [job(1)], SHOP)[1]

    assert found.likely_on == TODAY
    assert found.late_on == in_days(2)


def test_a_job_that_waits_without_end_has_no_dates():
    assert ranges([job(1, waits_for="the customer"), job(2)], [], SHOP).keys() == {2}


def test_drying_between_steps_is_not_lost_where_steps_are_taken_together():
    glue = StepToDo(name="glue", minutes=30, wait_minutes=24 * 60)
    steps = (StepToDo(name="open", minutes=30), glue, StepToDo(name="sew", minutes=30, after=("glue",)))

    found = ranges([job(1, *steps)], [], SHOP)[1]

    assert found.likely_on == in_days(1)


@unhurried
@given(backlogs(most=5), st.lists(st.integers(0, 300), max_size=3), crews(), holidays)
def test_dates_are_in_order_on_open_days_and_the_same_each_time(agreed, asked, people, closed):
    shop = Shop(people=tuple(people), now=MONDAY, holidays=closed)
    perhaps = [job(90 + n, minutes=minutes or 1, due=n) for n, minutes in enumerate(asked)]

    found = ranges(agreed, perhaps, shop)

    assert found == ranges(agreed, perhaps, shop)
    assert found.keys() == {one.number for one in [*agreed, *perhaps] if not_known(one) is None}
    for each in found.values():
        assert TODAY <= each.likely_on <= each.late_on
        assert not {each.likely_on, each.late_on} & closed


@unhurried
@given(backlogs(most=5), jobs_to_do(99, joined=0), crews())
def test_one_more_agreed_job_never_makes_another_earlier(agreed, new, people):
    shop = Shop(people=tuple(people), now=MONDAY)
    new = replace(new, joined_at=MONDAY + timedelta(seconds=1))

    before, after = ranges(agreed, [], shop), ranges([*agreed, new], [], shop)

    for number, each in before.items():
        assert after[number].likely_on >= each.likely_on
        assert after[number].late_on >= each.late_on
