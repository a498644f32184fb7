"""Two people's ticks that met on one step while one of them had no line: found, and decided by a person."""

import datetime

import pytest
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff
from shoprepair.work import steps, ticks
from shoprepair.work.crossed import Crossed, bring_to, crossed
from shoprepair.work.models import Step, Tick
from tests.factories import StaffFactory
from tests.work.benching import do_all, on_the_bench

State = Step.State


@pytest.fixture
def job(bench) -> Job:
    """On the bench since an hour ago."""
    job = on_the_bench(bench)
    Job.objects.filter(pk=job.pk).update(received_at=timezone.now() - datetime.timedelta(hours=5))
    job.refresh_from_db()
    return job


@pytest.fixture
def ansa() -> Staff:
    return StaffFactory(first_name="Ansa")


@pytest.fixture
def step(job) -> Step:
    return steps.of(job)[0]


def tapped(step: Step, verb: str, who: Staff, minutes_ago: int, reason: str = "") -> Tick:
    at = timezone.now() - datetime.timedelta(minutes=minutes_ago)
    key = f"{verb}-{who.pk}-{minutes_ago}"
    ticks.take(step, verb, key=key, who=who, at=at, reason=reason)
    return Tick.objects.get(key=key)


def test_two_who_did_the_same_step_agree(step, bench, ansa):
    tapped(step, "done", ansa, 10)
    assert crossed(tapped(step, "done", bench, 20), "waiting") is None


def test_one_left_out_what_another_did_meanwhile_and_both_are_told(step, bench, ansa):
    theirs = tapped(step, "done", ansa, 10)
    mine = tapped(step, "skip", bench, 20, "not needed")
    assert crossed(mine, "waiting") == Crossed(mine, theirs, mine_stands=False)


def test_one_did_what_another_left_out_meanwhile_and_what_was_done_stands(step, bench, ansa):
    theirs = tapped(step, "skip", ansa, 10, "not needed")
    mine = tapped(step, "done", bench, 20)
    assert crossed(mine, "waiting") == Crossed(mine, theirs, mine_stands=True)


def test_a_done_that_another_took_back_meanwhile_is_told(step, bench, ansa):
    tapped(step, "done", ansa, 15)
    theirs = tapped(step, "undo", ansa, 10)
    mine = tapped(step, "done", bench, 20)
    assert crossed(mine, "waiting") == Crossed(mine, theirs, mine_stands=False)


def test_who_had_not_heard_what_another_did_before_is_told_by_what_the_page_showed(step, bench, ansa):
    theirs = tapped(step, "done", ansa, 20)
    mine = tapped(step, "skip", bench, 10, "not needed")
    assert crossed(mine, "running") == Crossed(mine, theirs, mine_stands=False)


def test_who_knew_what_another_did_before_meets_nobody(step, bench, ansa):
    tapped(step, "done", ansa, 20)
    assert crossed(tapped(step, "undo", bench, 10), "done") is None
    assert crossed(tapped(step, "done", bench, 5), "waiting") is None


def test_one_person_on_two_devices_meets_nobody(step, bench):
    tapped(step, "done", bench, 10)
    assert crossed(tapped(step, "skip", bench, 20, "not needed"), "waiting") is None


def test_a_start_says_nothing(step, bench, ansa):
    tapped(step, "done", ansa, 10)
    assert crossed(tapped(step, "start", bench, 20), "waiting") is None


def test_mine_counts_though_theirs_stood(step, bench, ansa):
    tapped(step, "done", ansa, 10)
    tapped(step, "skip", bench, 20, "not needed")
    decided = bring_to(step, State.SKIPPED, key="d", who=bench)
    assert (decided.state, decided.reason) == (State.SKIPPED, "not needed")


def test_theirs_counts_though_mine_stood_with_their_reason(step, bench, ansa):
    tapped(step, "skip", ansa, 10, "old glue")
    tapped(step, "done", bench, 20)
    decided = bring_to(step, State.SKIPPED, key="d", who=bench, reason="old glue")
    assert (decided.state, decided.reason) == (State.SKIPPED, "old glue")


def test_decided_twice_is_decided_once(step, bench, ansa):
    tapped(step, "done", ansa, 15)
    tapped(step, "undo", ansa, 10)
    bring_to(step, State.DONE, key="d", who=bench)
    kept = Tick.objects.count()
    assert bring_to(step, State.DONE, key="d", who=bench).state == State.DONE
    assert Tick.objects.count() == kept


def test_what_others_have_built_upon_is_not_taken_back_by_a_decision(job, bench, ansa):
    do_all(job, ansa)
    before = next(one for one in steps.of(job) if any(one.made_from in each.after for each in steps.of(job)))
    with pytest.raises(ticks.TickRefused, match="was done after it"):
        bring_to(before, State.WAITING, key="d", who=bench)
