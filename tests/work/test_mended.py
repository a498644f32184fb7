"""What is mended once gear is ready, and how dangerous it still is."""

import pytest

from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.pricing.models import QuoteLine
from shoprepair.work import mended
from shoprepair.work.models import Step
from tests.factories import DamageFactory, JobFactory
from tests.work.mending import mends

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    """Ready gear that came with a burst and a lesser tear."""
    ready = JobFactory(stage=Stage.READY, urgency=100, rank=0, band="Grounded")
    DamageFactory(job=ready, number=1, urgency=100, band="Grounded", model_version="1")
    DamageFactory(job=ready, number=2, urgency=60, band="Repair first", model_version="1")
    return ready


def step(job: Job, state: str, *damages: int) -> Step:
    position = job.steps.count() + 1
    facts = {"made_from": str(position), "kind": Step.Kind.REPAIR, "text": "Sew."}
    return Step.objects.create(job=job, position=position, state=state, damages=list(damages), **facts)


def now(job: Job) -> mended.Danger:
    return mended.danger(job, list(Damage.objects.filter(job=job, removed_at=None)), mended.of(job))


def test_ready_gear_is_repaired_where_all_it_came_with_was_agreed_and_it_keeps_what_it_was(job) -> None:
    mends(job, [1, 2])
    danger = now(job)
    assert danger.repaired
    assert (danger.urgency, danger.band) == (100, "Grounded")


def test_what_the_customer_did_not_take_is_as_dangerous_as_before(job) -> None:
    mends(job, [2])
    mends(job, [1], taken=False)
    danger = now(job)
    assert not danger.repaired
    assert (danger.urgency, danger.band) == (100, "Grounded")
    assert [damage.number for damage in danger.left] == [1]


def test_once_the_worst_is_mended_the_gear_is_as_dangerous_as_what_is_left(job) -> None:
    mends(job, [1])
    assert (now(job).urgency, now(job).band) == (60, "Repair first")


def test_opening_a_tube_mends_nothing(job) -> None:
    mends(job, [1, 2], kind=QuoteLine.Kind.ACCESS)
    assert mended.of(job) == frozenset()


def test_a_repair_that_was_left_out_at_the_bench_mends_nothing(job) -> None:
    mends(job, [1, 2])
    step(job, Step.State.SKIPPED, 1)
    step(job, Step.State.SKIPPED, 1)
    step(job, Step.State.SKIPPED, 2)
    step(job, Step.State.DONE, 2)
    assert mended.of(job) == {2}


@pytest.mark.parametrize("stage", [Stage.BENCH, Stage.HOLD_TEST, Stage.WITHDRAWN])
def test_gear_that_is_not_ready_is_as_dangerous_as_it_came(job, stage) -> None:
    mends(job, [1, 2])
    Job.objects.filter(pk=job.pk).update(stage=stage)
    job.refresh_from_db()
    assert not now(job).repaired
    assert now(job).urgency == 100


def test_gear_without_a_pin_is_not_called_repaired() -> None:
    assert not now(JobFactory(stage=Stage.READY)).repaired


def test_the_mended_damages_of_many_jobs_cost_two_statements(job, django_assert_num_queries) -> None:
    other = JobFactory(stage=Stage.READY)
    for each in (job, other):
        mends(each, [1])
    with django_assert_num_queries(2):
        assert mended.numbers([job.pk, other.pk]) == {job.pk: {1}, other.pk: {1}}
    with django_assert_num_queries(0):
        assert mended.numbers([]) == {}
