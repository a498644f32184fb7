"""When the gear of an enquiry comes in."""

import datetime

import pytest
from django.utils import timezone

from shoprepair.jobs import corrections, stages
from shoprepair.jobs.enquiries import waiting
from shoprepair.jobs.models import Job, Stage
from shoprepair.shop import opening
from shoprepair.shop.settings import current
from tests.factories import JobFactory
from tests.jobs.enquiries.asking import CUT, ask

pytestmark = pytest.mark.django_db

LONG_AGO = datetime.timedelta(days=40)


@pytest.fixture
def job():
    """Asked about forty days ago, and at the counter now."""
    job = ask(CUT).job
    then = timezone.now() - LONG_AGO
    Job.objects.filter(pk=job.pk).update(
        received_at=then,
        promised_on=then.date() + datetime.timedelta(days=10),
        terms_agreed_at=timezone.now(),
    )
    job.refresh_from_db()
    return job


def check_in(job, who):
    stages.move(job, Stage.CHECKED_IN, who=who)
    job.refresh_from_db()


def test_the_visit_begins_and_is_promised_anew_when_it_comes(job, counter):
    assert waiting().exists()
    check_in(job, counter)
    assert not waiting().exists()
    assert job.enquiry.came_at == job.received_at
    due = timezone.localdate() + datetime.timedelta(days=current().usual_days)
    assert job.promised_on == opening.open_on(current(), due)


def test_a_date_that_somebody_of_the_shop_promised_stays(job, counter):
    day = timezone.localdate() + datetime.timedelta(days=3)
    corrections.correct(job, who=counter, promised_on=day)
    check_in(job, counter)
    assert job.promised_on == day


def test_going_back_to_enquiry_and_in_again_does_not_begin_it_twice(job, counter):
    check_in(job, counter)
    came = job.enquiry.came_at
    stages.move(job, Stage.ENQUIRY, who=counter, reason="Too early.")
    check_in(job, counter)
    job.enquiry.refresh_from_db()
    assert job.enquiry.came_at == came


def test_a_visit_that_began_at_the_counter_keeps_its_dates(counter):
    job = JobFactory(stage=Stage.ENQUIRY)
    ask(CUT)
    assert waiting().count() == 1
    assert job not in [each.job for each in waiting()]
