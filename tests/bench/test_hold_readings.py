"""Readings of a hold test as they are typed at the bench."""

import datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from shoprepair.bench.forms.hold import moment
from shoprepair.work.models import HoldReading
from tests.bench.hold_pages import MINUTE, address, ago, begun, page, read
from tests.factories import JobFactory
from tests.work.benching import a_worked_cut

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(bench):
    """A wing whose leading edge was cut through, repaired and waiting for its hold test."""
    return a_worked_cut(bench)


@pytest.fixture
def client(as_person, bench):
    return as_person(bench)


# Reading.


def test_before_the_first_reading_the_page_says_what_to_do(client, job):
    test = begun(client, job)
    shown = page(client, job)
    assert "First reading" in shown
    assert "No reading yet" in shown
    assert f'action="{address(job, test.pk, "readings")}"' in shown


def test_a_time_that_nobody_touched_is_the_moment_it_arrives(client, job):
    test = begun(client, job)
    old = ago(45)
    read(client, test, "0.50", 0, at=old, shown=old)
    assert timezone.now() - HoldReading.objects.get().at < MINUTE


def test_a_reading_keeps_what_was_typed_with_the_unit_of_that_gauge(client, job):
    test = begun(client, job)
    read(client, test, "7.25", 60, pressure_unit="psi")
    kept = HoldReading.objects.get()
    assert kept.pressure_typed == "7.25 psi"
    assert kept.temperature_typed == "20 °C"
    assert "<b>7.25 psi</b>" in page(client, job)


def test_the_next_reading_proposes_the_gauge_of_the_last_one(client, job):
    read(client, begun(client, job), "7.25", 60, pressure_unit="psi")
    assert '<option value="psi" selected>' in page(client, job)


def test_a_reading_in_the_future_is_refused_beside_its_time(client, job):
    test = begun(client, job)
    answer = read(client, test, "0.50", -60)
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert "lies in the future" in shown.split('id="id_at_error"')[1][:300]
    assert 'value="0.50"' in shown
    assert not HoldReading.objects.exists()


@pytest.mark.parametrize(
    "wrong",
    [
        {"pressure": "a lot"},
        {"temperature": "500"},
        {"temperature": ""},
        {"at": "yesterday"},
        {"height": "up the hill"},
        {"height": "90000 m"},
        {"pressure_unit": "atm"},
        {"pressure": "\0"},
    ],
)
def test_a_reading_that_cannot_be_is_refused_with_a_sentence(client, job, wrong):
    test = begun(client, job)
    answer = read(client, test, "0.50", 1, **wrong)
    assert answer.status_code == 422
    assert 'class="error"' in answer.content.decode()
    assert not HoldReading.objects.exists()


def test_a_reading_sent_twice_is_kept_once(client, job):
    test = begun(client, job)
    for _ in range(2):
        read(client, test, "0.50", 1, key="one-tap")
    assert HoldReading.objects.count() == 1


def test_a_reading_is_taken_out_and_put_back(client, job):
    test = begun(client, job)
    read(client, test, "0.50", 60)
    kept = HoldReading.objects.get()
    client.post(address(job, test.pk, "readings", kept.pk, "remove"))
    assert "Taken out: it does not count." in page(client, job)
    client.post(address(job, test.pk, "readings", kept.pk, "restore"))
    assert "Taken out" not in page(client, job)


def test_a_reading_of_another_job_cannot_be_taken_out_here(client, job):
    test = begun(client, job)
    read(client, test, "0.50", 60)
    other = JobFactory()
    kept = HoldReading.objects.get()
    assert client.post(address(other, test.pk, "readings", kept.pk, "remove")).status_code == 404


def test_a_time_that_came_twice_is_the_later_one_that_is_not_in_the_future():
    zone = ZoneInfo("Europe/Oslo")
    with timezone.override(zone):
        first = moment("2026-10-25T02:30", datetime.datetime(2026, 10, 25, 0, 45, tzinfo=datetime.UTC))
        second = moment("2026-10-25T02:30", datetime.datetime(2026, 10, 25, 6, 0, tzinfo=datetime.UTC))
    assert (second - first) == datetime.timedelta(hours=1)


def test_a_time_that_the_clocks_jumped_over_never_was():
    with timezone.override(ZoneInfo("Europe/Oslo")), pytest.raises(ValueError, match="never was"):
        moment("2026-03-29T02:30", timezone.now())
