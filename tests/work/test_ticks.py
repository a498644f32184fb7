"""Ticks of one or more devices: kept once, refused with a sentence, never lost when they come late."""

import datetime

import pytest
from django.utils import timezone

from shoprepair.jobs.models import Job, Stage
from shoprepair.work import steps, stints, ticks
from shoprepair.work.models import Step, Tick
from tests.factories import StaffFactory
from tests.work.benching import MINUTE, do_all, named, on_the_bench, tap

State = Step.State


@pytest.fixture
def job(bench) -> Job:
    """On the bench since an hour ago."""
    job = on_the_bench(bench)
    Job.objects.filter(pk=job.pk).update(received_at=timezone.now() - datetime.timedelta(hours=5))
    job.refresh_from_db()
    return job


def first(job: Job) -> Step:
    return steps.of(job)[0]


def test_the_same_tick_sent_twice_counts_once(job, bench):
    at = timezone.now()
    one = ticks.take(first(job), "done", key="device-1", who=bench, at=at)
    two = ticks.take(first(job), "done", key="device-1", who=bench, at=at)
    assert one == two
    assert (two.state, two.version) == (State.DONE, one.version)
    assert Tick.objects.count() == 1


def test_two_devices_dones_are_both_kept_and_count_once(job, bench):
    other = StaffFactory(first_name="Ansa")
    done = tap(first(job), "done", bench)
    again = tap(first(job), "done", other)
    assert (again.done_by, again.done_at) == (bench, done.done_at)
    assert Tick.objects.count() == 2


def test_a_key_that_another_step_s_tick_used_is_refused(job, bench):
    one, two, *_ = steps.of(job)
    tap(one, "done", bench, key="k")
    with pytest.raises(ticks.TickRefused, match="key was used"):
        tap(two, "done", bench, key="k")


def test_a_tick_of_the_future_counts_as_now(job, bench):
    before = timezone.now()
    step = tap(first(job), "done", bench, timezone.now() + datetime.timedelta(days=9))
    assert before <= step.done_at <= timezone.now()


def test_a_tick_of_a_clock_that_stands_years_back_counts_from_when_the_gear_came(job, bench):
    step = tap(first(job), "done", bench, datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC))
    assert step.done_at == job.received_at


def test_a_step_is_refused_before_what_comes_first(job, bench):
    with pytest.raises(ticks.TickRefused, match=r"“Unpick opening 1 .*” comes first"):
        tap(named(job, "Draw the bladder of"), "done", bench)
    assert not Tick.objects.exists()


def test_a_step_done_before_what_comes_first_is_kept_when_it_came_late_and_the_page_says_so(job, bench):
    drawn = tap(named(job, "Draw the bladder of"), "done", bench, timezone.now() - 30 * MINUTE)
    assert drawn.state == State.DONE
    [said] = ticks.remarks(job)[drawn.pk]
    assert said.startswith("Tomek Brandal did it before “Unpick opening 1")
    assert said.endswith("on a device without a line.")


def test_late_ticks_in_their_order_leave_no_remark(job, bench):
    tap(first(job), "done", bench, timezone.now() - 40 * MINUTE)
    tap(named(job, "Draw the bladder of"), "done", bench, timezone.now() - 30 * MINUTE)
    assert ticks.remarks(job) == {}


def test_leaving_out_needs_a_reason(job, bench):
    with pytest.raises(ticks.TickRefused, match="Say why it is left out"):
        tap(first(job), "skip", bench, reason="  ")
    step = tap(first(job), "skip", bench, reason="opened by the customer  already")
    assert (step.state, step.reason) == (State.SKIPPED, "opened by the customer already")


def test_an_undo_takes_the_last_done_back(job, bench):
    tap(first(job), "done", bench)
    step = tap(first(job), "undo", bench)
    assert (step.state, step.done_by, step.done_at) == (State.WAITING, None, None)


def test_there_is_nothing_to_take_back_of_a_step_not_begun(job, bench):
    with pytest.raises(ticks.TickRefused, match="nothing to take back"):
        tap(first(job), "undo", bench)


def test_a_step_is_not_taken_back_under_one_done_after_it(job, bench):
    tap(first(job), "done", bench)
    tap(named(job, "Draw the bladder of"), "done", bench)
    with pytest.raises(ticks.TickRefused, match="was done after it"):
        tap(first(job), "undo", bench)


def test_what_is_done_is_not_begun_again(job, bench):
    tap(first(job), "done", bench)
    with pytest.raises(ticks.TickRefused, match="done already"):
        tap(first(job), "start", bench)


def test_nothing_is_ticked_off_a_job_that_is_not_on_the_bench(job, bench):
    Job.objects.filter(pk=job.pk).update(stage=Stage.HOLD_TEST)
    with pytest.raises(ticks.TickRefused, match="“Hold test”, not on the bench"):
        tap(first(job), "done", bench)


def test_a_late_tick_is_kept_though_the_job_went_on_meanwhile(job, bench):
    Job.objects.filter(pk=job.pk).update(stage=Stage.HOLD_TEST)
    assert tap(first(job), "done", bench, timezone.now() - 30 * MINUTE).state == State.DONE


def test_start_and_done_let_a_person_s_time_run_and_stop(job, bench):
    tap(first(job), "start", bench)
    assert stints.running(bench).step == first(job)
    tap(first(job), "done", bench)
    assert stints.running(bench) is None


def test_starting_another_step_stops_the_one_before(job, bench):
    tap(first(job), "done", bench)
    drawn = tap(named(job, "Draw the bladder of"), "done", bench)
    assert drawn.state == State.DONE
    patch, bladder = named(job, "Mark the"), named(job, "Pump the bladder soft")
    tap(patch, "start", bench)
    tap(bladder, "start", bench)
    assert stints.running(bench).step == bladder
    assert bench.stints.filter(ended_at=None).count() == 1


def test_a_start_that_comes_after_its_done_still_counts_its_time(job, bench):
    now = timezone.now()
    tap(first(job), "done", bench, now - 30 * MINUTE)
    tap(first(job), "start", bench, now - 50 * MINUTE)
    assert stints.minutes(first(job)) == 20


def test_all_of_a_cut_line_s_ticks_merge_with_another_device_s(job, bench):
    now, other = timezone.now(), StaffFactory(first_name="Ansa")
    opened, drawn = first(job), named(job, "Draw the bladder of")
    tap(opened, "start", other, now - MINUTE)
    tap(opened, "start", bench, now - 40 * MINUTE)
    tap(opened, "done", bench, now - 30 * MINUTE)
    tap(drawn, "start", bench, now - 30 * MINUTE)
    tap(drawn, "done", bench, now - 20 * MINUTE)
    assert Tick.objects.count() == 5
    opened.refresh_from_db()
    assert (opened.state, opened.done_by) == (State.DONE, bench)
    assert stints.minutes(opened, now) >= 10
    assert stints.minutes(drawn, now) == 10


def test_a_tick_takes_the_same_statements_however_many_steps_there_are(
    job, bench, django_assert_max_num_queries
):
    step = first(job)
    with django_assert_max_num_queries(20):
        tap(step, "start", bench)
    with django_assert_max_num_queries(20):
        tap(step, "done", bench)


def test_a_whole_job_done_late_and_in_order_is_over(job, bench):
    do_all(job, bench)
    assert steps.all_done(job)
    assert ticks.remarks(job) == {}
