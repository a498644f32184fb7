"""The second pair of eyes: somebody else looks at a job before it is ready."""

import pytest

from shoprepair.jobs.models import Job, Stage
from shoprepair.work import rules
from shoprepair.work.models import Check
from tests.bench.hold_pages import page
from tests.factories import held
from tests.work.benching import a_worked_cut

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(bench):
    """A wing whose leading edge was cut through, repaired and waiting for its hold test."""
    return a_worked_cut(bench)


@pytest.fixture
def client(as_person, bench):
    return as_person(bench)


# The second pair of eyes.
def check(client, job, passed, note=""):
    return client.post(f"/bench/jobs/{job.number}/second-check/", {"passed": passed, "note": note})


@pytest.fixture
def careful(job, owner, bench):
    """The same job, held, in a shop where a second person looks."""
    rules.change(rules.current(), who=owner, version=1, second_person=True)
    held(job, bench)
    return job


def test_whoever_did_the_work_is_told_that_somebody_else_looks(client, careful):
    shown = page(client, careful)
    assert "You worked on it yourself" in shown
    assert "Ready for the customer" not in shown
    assert check(client, careful, "yes").status_code == 422


def test_a_second_person_passes_it(as_person, counter, careful):
    client = as_person(counter)
    assert page(client, careful).count("is-primary") == 1
    check(client, careful, "yes")
    shown = page(client, careful)
    assert "Maja Orrevik</b> looked at it" in shown
    assert "Ready for the customer" in shown


def test_a_fault_needs_words_and_goes_back_to_the_bench(as_person, counter, careful):
    client = as_person(counter)
    answer = check(client, careful, "no")
    assert "Say what has to be done again" in answer.content.decode()
    check(client, careful, "no", "A corner lifts.")
    assert Job.objects.get(pk=careful.pk).stage == Stage.BENCH
    assert Check.objects.get().note == "A corner lifts."


def test_an_unanswered_look_is_refused(as_person, counter, careful):
    assert "Choose what you found" in check(as_person(counter), careful, "").content.decode()
