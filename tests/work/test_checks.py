"""A second person looks at a job before it is ready, where the shop asks for it."""

import pytest

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.shop import journal
from shoprepair.work import checks, rules
from tests.factories import StaffFactory, held
from tests.work.benching import a_worked_cut

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(bench):
    """Repaired by Tomek and held, in a shop where a second person looks."""
    rules.change(rules.current(), who=bench, version=1, second_person=True)
    found = a_worked_cut(bench)
    held(found, bench)
    return found


def test_a_job_waits_for_a_second_pair_of_eyes(job, counter):
    assert any("did not work on it" in said for said in stages.refusals(job, Stage.READY))
    checks.check(job, True, who=counter)
    assert stages.refusals(job, Stage.READY) == []


def test_a_shop_that_does_not_ask_for_it_goes_on_without(job, bench):
    rules.change(rules.current(), who=bench, version=2, second_person=False)
    assert not checks.needed(job)
    assert stages.refusals(job, Stage.READY) == []


def test_nobody_checks_their_own_work(job, bench):
    with pytest.raises(checks.CheckRefused, match="worked on it yourself"):
        checks.check(job, True, who=bench)


def test_somebody_who_spent_time_on_a_step_has_worked_on_it(job, counter):
    step = job.steps.first()
    now = job.received_at
    job.stints.create(who=counter, step=step, began_at=now, ended_at=now)
    assert "worked on it yourself" in checks.refusal(job, counter)


def test_a_fault_takes_the_job_back_to_the_bench_with_its_words(job, counter):
    checks.check(job, False, "The outer ply lifts at a corner.", who=counter)
    assert Job.objects.get(pk=job.pk).stage == Stage.BENCH
    assert "The outer ply lifts at a corner." in journal.entries(job)[0].text


def test_a_fault_needs_words(job, counter):
    with pytest.raises(checks.CheckRefused, match="Say what has to be done again"):
        checks.check(job, False, " ", who=counter)


def test_a_look_at_the_work_of_before_does_not_pass_what_was_done_since(job, counter):
    checks.check(job, True, who=counter)
    made = job.checks.get()
    job.steps.update(done_at=made.at + (made.at - job.received_at))
    assert checks.needed(job)


def test_a_job_is_looked_at_when_it_is_at_the_hold_test(job, bench):
    stages.move(job, Stage.BENCH, who=bench, reason="One more row.")
    with pytest.raises(checks.CheckRefused, match="On the bench"):
        checks.check(job, True, who=StaffFactory())
