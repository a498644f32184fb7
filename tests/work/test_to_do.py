"""What the plan is told of a job's steps: nothing lost, and quick to plan."""

from math import ceil

import pytest

from shoprepair.jobs.models import Job
from shoprepair.work import steps, to_do
from shoprepair.work.tasks import check_jobs
from tests.pricing.mending import on_the_canopy, stocked
from tests.work.benching import a_cut_job, agree, tap


@pytest.fixture
def job(bench) -> Job:
    stocked()
    job = a_cut_job()
    on_the_canopy(job, 0.5, "tear", mm=40)
    agree(job)
    return job


def test_every_minute_and_every_wait_of_the_steps_is_in_what_the_plan_sees(job):
    every = steps.of(job)
    pieces = to_do.steps_to_do(every)
    assert len(pieces) <= len(every) / 2
    assert sum(piece.minutes for piece in pieces) == sum(ceil(step.minutes) for step in every)
    assert sum(piece.wait_minutes for piece in pieces) == 60 * sum(step.drying_hours for step in every)


def test_pieces_can_be_worked_in_their_order_and_name_every_set_up(job, django_assert_num_queries):
    [found] = to_do.in_work()
    with django_assert_num_queries(0):
        one = to_do.job_to_do(found, job.received_at)
    assert check_jobs([one])[0].steps == one.steps
    assert one.set_ups == {"the hot knife", "the adhesive", "Tex 90 bonded polyester"}


def test_what_is_done_is_no_longer_planned(job, bench):
    before = sum(piece.minutes for piece in to_do.steps_to_do(steps.of(job)))
    Job.objects.filter(pk=job.pk).update(stage="bench")
    first = tap(steps.of(job)[0], "done", bench)
    after = sum(piece.minutes for piece in to_do.steps_to_do(steps.of(job)))
    assert before - after == ceil(first.minutes)
