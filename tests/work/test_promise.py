from dataclasses import replace

import pytest
from hypothesis import given

from shoprepair.shop.units import Units, say
from shoprepair.work.promise import Delays, Shop, Standing, outlook, promise
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


def said(answer):
    return say(answer.reason, Units())


def test_a_small_job_in_an_empty_shop_is_ready_today():
    answer = promise(job(9), [], SHOP)
    assert (answer.likely_on, answer.late_on) == (TODAY, TODAY)
    assert said(answer) == "It takes 60 min at the bench."


def test_the_jobs_before_it_are_counted_and_named_as_the_reason():
    answer = promise(job(9, due=20, joined=99), LONG, SHOP)
    assert answer.likely_on == in_days(3)
    assert said(answer) == "3 jobs are worked before it, 15 hours at the bench."


def test_the_late_date_allows_for_work_that_takes_longer():
    """1260 planned minutes take 1764: past the 1440 of Monday to Friday."""
    answer = promise(job(9, minutes=360, due=20, joined=99), LONG, SHOP)
    assert answer.likely_on == in_days(4)
    assert answer.late_on == in_days(8)


def test_expected_parts_put_a_job_off_and_may_come_late():
    answer = promise(job(9, parts_there=False, parts_on=in_days(2)), [], SHOP)
    assert (answer.likely_on, answer.late_on) == (in_days(2), in_days(7))
    assert said(answer) == "Its parts are expected on Wed 25 Nov."


def test_what_is_wet_waits_until_it_is_dry():
    answer = promise(job(9, dry_at=on(in_days(1), 8)), [], SHOP)
    assert answer.likely_on == in_days(1)
    assert said(answer) == "It is not dry before 08:00 on Tue 24 Nov."


def test_a_bond_that_cures_overnight_is_ready_the_day_after():
    glued = job(9, StepToDo(name="glue", minutes=60, wait_minutes=720))
    answer = promise(glued, [], SHOP)
    assert answer.likely_on == in_days(1)
    assert said(answer) == "It dries and cures for 12 hours."


def test_a_bond_that_cures_over_the_weekend_is_ready_on_monday():
    friday = replace(SHOP, now=on(in_days(4), 8))
    glued = job(9, StepToDo(name="glue", minutes=60, wait_minutes=1440))
    assert promise(glued, [], friday).likely_on == in_days(7)


def test_a_holiday_is_a_reason_too():
    shop = replace(SHOP, holidays=frozenset({TODAY}))
    answer = promise(job(9), [], shop)
    assert answer.likely_on == in_days(1)
    assert said(answer) == "Holidays and absences come before it."


def test_no_date_is_promised_while_nobody_knows_when_it_goes_on():
    with pytest.raises(ValueError, match="waits for the customer"):
        promise(job(9, waits_for="the customer"), [], SHOP)
    with pytest.raises(ValueError, match="nobody has said when they come"):
        promise(job(9, parts_there=False), [], SHOP)


def test_nothing_is_promised_where_nobody_works():
    with pytest.raises(ValueError, match="Nobody has bench minutes"):
        promise(job(9), [], replace(SHOP, people=()))


def test_delays_do_not_make_anything_earlier():
    with pytest.raises(ValueError, match="cannot make anything earlier"):
        promise(job(9), [], replace(SHOP, delays=Delays(work_factor=0.5)))


def test_a_job_that_will_be_late_is_known_days_before():
    """Three full days of work before a promise in two days."""
    late = job(9, minutes=300, due=2, joined=99, taken_by="")
    urgent = tuple(replace(one, promised_on=in_days(0)) for one in LONG)
    [answer] = [one for one in outlook([*urgent, late], SHOP) if one.job == 9]
    assert answer.standing is Standing.LATE
    assert (answer.days_left, answer.days_late) == (2, 1)
    assert answer.sentence.text == ("Late: promised for Wed 25 Nov, likely ready on Thu 26 Nov, 1 day after.")


def test_a_promise_that_holds_only_if_all_goes_well_is_at_risk():
    [answer] = outlook([job(9, minutes=290, due=0)], SHOP)
    assert answer.standing is Standing.AT_RISK
    assert "but maybe Tue 24 Nov" in answer.sentence.text


def test_the_latest_stand_first_and_those_in_time_last():
    jobs = [job(1, due=20), job(2, due=-3), job(3, due=-1), job(4, waits_for="the customer")]
    assert [one.job for one in outlook(jobs, SHOP)] == [2, 3, 4, 1]


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


@unhurried
@given(backlogs(most=5), jobs_to_do(99, joined=0), crews())
def test_a_new_job_never_makes_a_promise_to_another_sooner(jobs, new, people):
    shop = Shop(people=tuple(people), now=MONDAY)
    before = {one.job: one.likely_on for one in outlook(jobs, shop)}
    after = {one.job: one.likely_on for one in outlook([*jobs, new], shop)}
    assert all(before[number] <= after[number] for number in before)
