"""The demo's bench: what was done, tested, paid and fetched."""

from shoprepair.jobs.models import Job, Stage
from shoprepair.work import hand_back, hold_tests, invoices, steps
from shoprepair.work.models import HoldTest, Invoice


def test_every_job_in_work_has_steps():
    jobs = Job.objects.filter(stage__in=[Stage.GO_AHEAD, Stage.BENCH, Stage.HOLD_TEST, Stage.READY])

    assert [job for job in jobs if not job.steps.exists() and job.needs.exists()] == []


def test_whatever_is_ready_or_fetched_was_shown_to_hold():
    jobs = Job.objects.filter(stage__in=[Stage.READY, Stage.HANDED_BACK])

    assert [job for job in jobs if not hold_tests.passed(job)] == []
    assert HoldTest.objects.filter(verdict=HoldTest.Verdict.HOLDS).count() > 30


def test_whatever_is_ready_was_worked_through():
    assert all(steps.all_done(job) for job in Job.objects.filter(stage=Stage.READY))


def test_whatever_was_fetched_is_paid_and_signed_for():
    fetched = list(Job.objects.filter(stage=Stage.HANDED_BACK))

    assert [job for job in fetched if invoices.owed(job).due] == []
    assert [job for job in fetched if not hand_back.of(job)] == []


def test_invoices_are_numbered_without_gaps():
    numbers = sorted(Invoice.objects.values_list("number", flat=True))

    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) > 90
