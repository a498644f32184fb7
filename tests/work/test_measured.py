"""When a job's last step is done, the catalogue learns how long its operations took; nobody applies it."""

import pytest
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.pricing.learning import learned
from shoprepair.pricing.models import MeasuredMinutes, Operation
from shoprepair.work import steps, stints
from tests.work.benching import MINUTE, do_all, named, on_the_bench, tap


@pytest.fixture
def job(bench) -> Job:
    return on_the_bench(bench)


def kept(job: Job) -> dict[str, tuple]:
    rows = MeasuredMinutes.objects.filter(job=job)
    return {row.operation.code: (row.estimated, row.measured) for row in rows}


def test_every_timed_operation_is_measured_once_the_last_step_is_done(job, bench):
    do_all(job, bench)
    found = kept(job)
    assert set(found) == {"casing-patch-small", "bladder-patch"}
    for estimated, took in found.values():
        assert abs(estimated - took) <= 1
    operation = Operation.objects.get(code="bladder-patch")
    assert learned(operation).count == 1


def test_nothing_is_measured_before_the_last_step(job, bench):
    tap(steps.of(job)[0], "start", bench)
    tap(steps.of(job)[0], "done", bench)
    assert kept(job) == {}


def test_the_catalogue_s_own_minutes_stay_as_they_are(job, bench):
    before = list(Operation.objects.order_by("pk").values_list("set_up_minutes", flat=True))
    do_all(job, bench)
    assert list(Operation.objects.order_by("pk").values_list("set_up_minutes", flat=True)) == before


def test_undone_and_done_again_measures_anew_and_still_once(job, bench):
    do_all(job, bench)
    last = steps.of(job)[-1]
    tap(last, "undo", bench)
    tap(last, "done", bench)
    assert MeasuredMinutes.objects.filter(job=job).count() == 2


def test_a_skipped_step_counts_neither_as_estimated_nor_as_measured(job, bench):
    do_all(job, bench)
    whole, _ = kept(job)["casing-patch-small"]
    feel = named(job, "Feel the inside")
    late = timezone.now() - 10 * MINUTE
    tap(feel, "undo", bench, late)
    tap(feel, "skip", bench, late + MINUTE, reason="felt it while sewing")
    estimated, took = kept(job)["casing-patch-small"]
    assert estimated == whole - feel.minutes
    assert abs(took - estimated) <= 1


def test_an_operation_that_no_timer_ran_for_is_not_measured(job, bench):
    do_all(job, bench, timed=False)
    assert steps.all_done(job)
    assert kept(job) == {}


def test_a_mended_timer_is_measured_anew(job, bench):
    do_all(job, bench)
    before = kept(job)["casing-patch-small"][1]
    stint = named(job, "Sew the rows").stints.get()
    stints.mend(stint, stint.began_at + MINUTE, who=bench, why="phone rang")
    assert kept(job)["casing-patch-small"][1] < before
    assert MeasuredMinutes.objects.filter(job=job).count() == 2
