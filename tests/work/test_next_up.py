"""Which job to take next: danger, promise, parts, dryness and a set-up shared, each in words."""

import datetime

import pytest
from django.utils import timezone

from shoprepair.jobs import stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.work import next_up, steps
from shoprepair.work.models import BenchHours, ExpectedParts, Holiday, Step
from shoprepair.work.to_do import people
from tests.factories import JobFactory, StaffFactory
from tests.pricing.mending import a_job, on_the_canopy, stocked
from tests.work.benching import a_cut_job, agree, do_all, tap


@pytest.fixture
def cut(bench) -> Job:
    """Dangerous."""
    stocked()
    job = a_cut_job()
    agree(job)
    return job


@pytest.fixture
def torn(cut) -> Job:
    """Harmless, promised for the same day."""
    job = a_job()
    on_the_canopy(job, 0.5, "tear", mm=40)
    agree(job)
    return job


def order(who) -> list[Job]:
    return [each.job for each in next_up.suggest(who)]


def said(who, job) -> list[str]:
    found = next(each for each in next_up.suggest(who) if each.job == job)
    return [reason.text for reason in found.reasons]


def test_the_dangerous_job_comes_first_and_says_so(cut, torn, bench):
    assert order(bench) == [cut, torn]
    assert said(bench, torn)[0] == "All others that can be worked now go before it."
    reasons = said(bench, cut)
    assert reasons[0].endswith("Grounded counts 3 days ahead of the promise.")
    assert "All parts are there." in reasons
    assert any(reason.startswith("Promised for ") for reason in reasons)


def test_a_much_earlier_promise_beats_danger(cut, torn, bench):
    Job.objects.filter(pk=torn.pk).update(promised_on=timezone.localdate() + datetime.timedelta(days=1))
    assert order(bench) == [torn, cut]


def test_what_waits_is_listed_last_with_what_it_waits_for(cut, torn, bench, owner):
    stages.set_hold(cut, Hold.PARTS, who=owner)
    assert order(bench) == [torn, cut]
    assert said(bench, cut) == ["Its parts are not there, and nobody has said when they come."]
    ExpectedParts.objects.create(job=cut, day=timezone.localdate() + datetime.timedelta(days=4))
    assert said(bench, cut)[0].startswith("Its parts are expected on ")
    stages.set_hold(cut, Hold.CUSTOMER, who=owner)
    assert said(bench, cut) == ["It waits for the customer."]
    stages.set_hold(cut, Hold.DRYING, who=owner)
    assert said(bench, cut) == ["It waits for the gear to dry."]


def test_jobs_that_share_a_set_up_are_named(cut, torn, bench):
    other = a_cut_job()
    agree(other)
    found = next(each for each in next_up.suggest(bench) if each.job == cut)
    assert (other.number, "the adhesive") in found.shares_set_up_with
    assert any(f"Shares the adhesive with job {other.number:04d}" in text for text in said(bench, cut))


def test_a_begun_job_is_finished_first_by_whoever_began_it(cut, torn, bench):
    next_up.take(torn, bench)
    tap(steps.of(torn)[0], "start", bench)
    other = StaffFactory(first_name="Ansa", role="bench")
    assert order(bench)[0] == torn
    assert said(bench, torn)[0] == "It was begun: finish it before another is taken."
    assert said(other, torn) == ["Tomek Brandal has begun it."]


def test_a_job_whose_bonds_cure_waits_until_they_have(bench, cut, torn):
    next_up.take(cut, bench)
    for step in steps.of(cut):
        if not steps.may_do(Step.objects.get(pk=step.pk)):
            tap(step, "done", bench)
    while (step := steps.next_step(cut, bench)) is not None:
        tap(step, "done", bench)
    assert order(bench) == [torn, cut]
    assert said(bench, cut)[0].startswith("It is not dry before ")


def test_a_job_all_whose_steps_are_done_goes_to_its_hold_test(bench, cut, torn):
    next_up.take(torn, bench)
    do_all(torn, bench)
    assert order(bench)[0] == torn
    assert said(bench, torn)[0] == "All its steps are done: the hold test comes next."


def test_taking_a_job_puts_it_on_the_bench_once(cut, bench):
    assert next_up.take(cut, bench).stage == Stage.BENCH
    assert next_up.take(cut, bench).stage == Stage.BENCH


def test_a_wet_job_is_not_taken(cut, bench, owner):
    stages.set_hold(cut, Hold.DRYING, who=owner)
    with pytest.raises(stages.StageRefused, match="drying"):
        next_up.take(cut, bench)


def test_a_job_nobody_agreed_to_is_not_taken(db, bench):
    with pytest.raises(stages.StageRefused):
        next_up.take(JobFactory(stage=Stage.ASSESSED), bench)


def test_an_agreement_older_than_the_steps_gets_them_when_it_is_taken(cut, bench):
    cut.steps.all().delete()
    next_up.take(cut, bench)
    assert steps.of(cut)


def test_nothing_to_do_suggests_nothing(bench):
    assert next_up.suggest(bench) == []


def test_hours_and_absences_are_those_entered(bench, owner):
    assert [person.name for person in people()] == ["Tomek Brandal"]
    BenchHours.objects.create(who=owner, minutes=[60] * 7)
    Holiday.objects.create(who=owner, first_day=datetime.date(2026, 3, 2), last_day=datetime.date(2026, 3, 4))
    [person] = people()
    assert (person.name, person.minutes, len(person.away)) == ("Runa Selvaag", (60,) * 7, 3)


def test_the_queue_takes_the_same_statements_however_many_jobs_there_are(
    cut, bench, django_assert_max_num_queries
):
    for _ in range(3):
        agree(a_cut_job())
    with django_assert_max_num_queries(12):
        next_up.suggest(bench)
