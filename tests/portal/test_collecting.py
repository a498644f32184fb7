"""What somebody reads who comes for their gear."""

import pytest

from shoprepair.work import payments
from tests.factories import accepted, ready
from tests.portal.visits import bid, read

pytestmark = pytest.mark.django_db
HOURS = {"0": ["09:00", "17:30"], "1": ["09:00", "17:30"], "5": ["09:00", "13:00"]}


@pytest.fixture
def shop(shop):
    shop.working_hours = HOURS
    shop.save()
    return shop


def test_gear_that_is_ready_says_what_is_to_pay_when_and_where(client, job, owner, counter):
    ready(job, owner)
    payments.take(job, payments.owed(job).due - 40, "card", who=counter)
    page = read(client, job)
    beside = page[page.index("ready to be collected") :][:200]
    for said in ("To pay", "40.00", "is paid", "Mon–Tue 09:00–17:30", "Sat 09:00–13:00", "Harbour Lane 4"):
        assert said in beside


def test_who_paid_nothing_yet_reads_of_the_whole_alone(client, job, owner):
    ready(job, owner)
    page = read(client, job)
    assert payments.owed(job).said(payments.owed(job).total) in page
    assert "is paid" not in page


def test_what_is_paid_asks_for_nothing(client, job, owner, counter):
    ready(job, owner)
    payments.take(job, payments.owed(job).due, "card", who=counter)
    assert "To pay" not in read(client, job)


def test_gear_that_waits_for_the_bench_is_not_to_be_collected(client, job, owner):
    accepted(bid(job, owner), job)
    assert "Mon–Tue" not in read(client, job)
