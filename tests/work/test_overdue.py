import datetime

import pytest
from django.utils import timezone

from shoprepair.jobs.models import Job, Stage
from shoprepair.work import overdue
from shoprepair.work.models import Forecast
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)
TODAY = datetime.date(2026, 11, 25)


def promised(days: int, stage: str = Stage.BENCH, **facts: object) -> Job:
    return JobFactory(promised_on=TODAY + days * DAY, stage=stage, **facts)


def likely(job: Job, days: int, perhaps: int) -> Job:
    """The bench is planned so that it is ready by then."""
    Forecast.objects.create(
        job=job,
        likely_on=TODAY + days * DAY,
        late_on=TODAY + perhaps * DAY,
        reason={},
        made_at=timezone.now(),
    )
    return job


def test_a_job_is_late_from_the_day_after_its_promised_one():
    promised(0)
    yesterday, last_week = promised(-1), promised(-7)

    assert [(job, overdue.words(job, TODAY)) for job in overdue.late(TODAY)] == [
        (last_week, "7 days late"),
        (yesterday, "1 day late"),
    ]


@pytest.mark.parametrize("stage", [Stage.ENQUIRY, Stage.READY, Stage.HANDED_BACK, Stage.DECLINED])
def test_what_never_came_in_or_lies_ready_is_not_late(stage):
    promised(-3, stage, is_open=stage not in (Stage.HANDED_BACK, Stage.DECLINED))

    assert overdue.counts(TODAY) == overdue.Counts(0, 0)


def test_a_job_is_about_to_be_late_when_the_plan_says_so_before_its_day_is_over():
    sure, perhaps = likely(promised(2), 4, 6), likely(promised(2), 1, 3)
    likely(promised(5), 3, 5)
    late_already = likely(promised(-1), 3, 4)

    assert [(job, overdue.words(job, TODAY)) for job in overdue.soon(TODAY)] == [
        (sure, "likely 2 days late"),
        (perhaps, "perhaps 1 day late"),
    ]
    assert list(overdue.late(TODAY)) == [late_already]
    assert overdue.counts(TODAY) == overdue.Counts(late=1, soon=2)


@pytest.mark.parametrize("count", [1, 3])
def test_a_list_of_late_jobs_costs_the_same_for_one_as_for_many(count, django_assert_num_queries):
    for _ in range(count):
        likely(promised(-1), 1, 2)
    with django_assert_num_queries(1):
        [
            (job.customer.name, job.inflatable.pattern.name, overdue.words(job, TODAY))
            for job in overdue.late(TODAY)
        ]
