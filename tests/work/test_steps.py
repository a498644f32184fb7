"""The steps at the bench: what comes next, what is in the way, and moving them within reason."""

import datetime

import pytest
from django.utils import timezone

from shoprepair.jobs import stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop import journal
from shoprepair.work import steps
from shoprepair.work.models import Step
from tests.factories import JobFactory, StaffFactory
from tests.pricing.mending import on_the_edge
from tests.work.benching import MINUTE, add, do_all, named, on_the_bench, tap

HOUR = 60 * MINUTE


@pytest.fixture
def job(bench) -> Job:
    return on_the_bench(bench)


def follow(job: Job, first: str) -> Step:
    return named(job, first)


def test_the_first_step_can_be_done_and_the_next_says_what_comes_first(job):
    first, second, *_ = steps.of(job)
    assert steps.may_do(first) == []
    assert steps.may_do(second) == [f"“{first.text.rstrip('.')}” comes first."]


def test_what_was_bonded_must_dry_before_anybody_goes_on(job, bench):
    spread = _up_to(job, bench, "Spread the adhesive")
    after = next(step for step in steps.of(job) if spread.made_from in step.after)
    dry = spread.done_at + datetime.timedelta(hours=12)
    [said] = steps.may_do(after)
    assert said.startswith("“Spread the adhesive thin on both, and press it under the weight” dries until ")
    assert steps.may_do(after, now=dry - MINUTE)
    assert steps.may_do(after, now=dry) == []


def test_leaving_out_a_step_in_between_shortens_no_drying(job, bench):
    spread = _up_to(job, bench, "Spread the adhesive")
    leave = tap(named(job, "Leave it"), "skip", bench, reason="the weight is off already")
    after = next(step for step in steps.of(job) if leave.made_from in step.after)
    assert steps.may_do(after)
    assert steps.may_do(after, now=spread.done_at + 12 * HOUR) == []


def test_a_job_on_hold_to_dry_stops_every_step(job, owner):
    stages.set_hold(job, Hold.DRYING, who=owner)
    assert "on hold: drying" in steps.may_do(steps.of(job)[0])[0]


def test_a_person_goes_on_with_the_step_they_are_at(job, bench):
    first = steps.of(job)[0]
    assert steps.next_step(job, bench) == first
    tap(first, "start", bench)
    assert steps.next_step(job, bench) == first


def test_a_step_another_person_is_at_comes_last(job, bench):
    other = StaffFactory(first_name="Ansa")
    while (step := steps.of(job)[0]).state == Step.State.WAITING:
        tap(step, "done", bench)
    drawn = named(job, "Draw the bladder of")
    tap(drawn, "done", bench)
    first = steps.next_step(job, bench)
    tap(first, "start", bench)
    second = steps.next_step(job, other)
    assert second not in (None, first)


def test_where_all_that_is_left_must_dry_nothing_comes_next_and_the_time_is_known(job, bench):
    spread = _up_to(job, bench, "Spread the adhesive")
    for step in steps.of(job):
        if step.state == Step.State.WAITING and not steps.may_do(step):
            _finish(job, bench, step)
    assert steps.next_step(job, bench) is None
    now = timezone.now()
    assert steps.dry_at(steps.of(job), now) == spread.done_at + 12 * HOUR
    assert steps.dry_at(steps.of(job), now + 13 * HOUR) is None


def test_a_step_moves_before_another_and_the_journal_says_so(job, bench):
    patch, bladder = named(job, "Mark the"), named(job, "Pump the bladder soft")
    steps.move(bladder, patch, who=bench)
    assert named(job, "Pump the bladder soft").position == patch.position
    assert named(job, "Mark the").position == patch.position + 1
    assert [step.position for step in steps.of(job)] == list(range(1, len(steps.of(job)) + 1))
    assert journal.entries(job).first().text.startswith("Moved “Pump the bladder soft")


def test_a_step_never_moves_before_what_must_come_first(job, bench):
    with pytest.raises(steps.NotMoved, match="must come first"):
        steps.move(named(job, "Sew the rows"), named(job, "Draw the bladder of"), who=bench)


def test_a_step_never_moves_after_what_comes_after_it(job, bench):
    with pytest.raises(steps.NotMoved, match="can only come after it"):
        steps.move(named(job, "Draw the bladder of"), None, who=bench)


def test_what_is_done_stays_where_it_is_and_nothing_goes_before_it(job, bench):
    first = tap(steps.of(job)[0], "done", bench)
    with pytest.raises(steps.NotMoved, match="done already"):
        steps.move(first, None, who=bench)
    tap(named(job, "Draw the bladder of"), "done", bench)
    tap(named(job, "Mark the"), "done", bench)
    with pytest.raises(steps.NotMoved, match="nothing new goes before it"):
        steps.move(named(job, "Pump the bladder soft"), named(job, "Mark the"), who=bench)


def test_a_step_does_not_move_beside_one_of_another_job(job, bench):
    stray = Step.objects.create(job=JobFactory(), position=1, made_from="r1:1", kind="repair", text="Sew.")
    with pytest.raises(steps.NotMoved, match="not one of this job"):
        steps.move(named(job, "Sew the rows"), stray, who=bench)


def test_moving_a_step_to_where_it_is_changes_nothing(job, bench):
    every = steps.of(job)
    assert steps.move(every[1], every[2], who=bench).version == every[1].version
    assert steps.move(every[1], every[1], who=bench).version == every[1].version


def test_the_hold_test_begins_when_every_step_is_over(job, bench):
    assert any("Do every step" in said for said in stages.refusals(job, Stage.HOLD_TEST))
    do_all(job, bench)
    assert steps.all_done(job)
    assert stages.refusals(job, Stage.HOLD_TEST) == []


def test_what_keeps_a_job_on_the_bench_names_the_next_step_alone_and_how_many_there_are(job):
    first, second, *rest = steps.of(job)
    [said] = stages.refusals(job, Stage.HOLD_TEST)
    assert f"Step 1 of {2 + len(rest)} comes next: “{first.text.rstrip('.')}”." in said
    job.steps.filter(pk=first.pk).update(state="skipped")
    [said] = stages.refusals(job, Stage.HOLD_TEST)
    assert f"Step 2 of {2 + len(rest)} comes next: “{second.text.rstrip('.')}”." in said
    assert all(step.text not in said for step in rest)


def test_an_addition_agreed_during_the_hold_test_keeps_the_job_from_being_ready(job, bench):
    do_all(job, bench)
    stages.move(job, Stage.HOLD_TEST, who=bench)
    add(job, on_the_edge(job, 0.13, "cut", mm=20))
    steps.make(job)
    assert any("Do every step" in said for said in stages.refusals(job, Stage.READY))


def test_an_addition_keeps_the_hold_test_from_beginning_until_it_is_done(job, bench):
    do_all(job, bench)
    add(job, on_the_edge(job, 0.13, "cut", mm=20))
    steps.make(job)
    assert not steps.all_done(job)
    assert stages.refusals(job, Stage.HOLD_TEST)


def test_a_job_with_no_steps_is_not_all_done(db):
    assert not steps.all_done(JobFactory())


def _up_to(job: Job, who, last: str) -> Step:
    """Do the steps in order up to one, each as soon as it can be done."""
    for step in steps.of(job):
        if steps.may_do(Step.objects.get(pk=step.pk)):
            continue
        step = tap(step, "done", who)
        if step.text.startswith(last):
            return step
    raise AssertionError(last)


def _finish(job: Job, who, step: Step) -> None:
    while step is not None and not steps.may_do(step):
        tap(step, "done", who)
        step = next((each for each in steps.of(job) if step.made_from in each.after), None)
