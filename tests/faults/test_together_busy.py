"""Somebody holds the database: others wait; who waits too long keeps what they typed and is told in words."""

import html
import re
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from django.db import DatabaseError, connection
from django.urls import reverse

from shoprepair.jobs.models import Customer, Job
from shoprepair.shop.busy import is_busy
from shoprepair.shop.models import Shop
from shoprepair.shop.settings import current
from tests.counter.checking_in import picture, somebody
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db(transaction=True)
SQLITE = connection.vendor == "sqlite"
NEW = {"name": "Ilka Sandvoort", "phone": "+1 555 0134", "note": "Calls after six, left-handed.", "key": "k1"}


@pytest.fixture(autouse=True)
def _shop_is_there() -> None:
    current()


@contextmanager
def held() -> Iterator[Callable[[], None]]:
    """Another program writes and does not come to its end, unless it is told to."""
    other = connection.copy()
    other.inc_thread_sharing()
    with other.cursor() as cursor:
        if SQLITE:
            cursor.execute("BEGIN IMMEDIATE")
        else:
            other.set_autocommit(False)
            every = ", ".join(f'"{name}"' for name in connection.introspection.table_names())
            cursor.execute(f"LOCK TABLE {every} IN EXCLUSIVE MODE")
    try:
        yield other.connection.rollback
    finally:
        other.connection.rollback()
        other.close()


@contextmanager
def patience(milliseconds: int) -> Iterator[None]:
    """Wait no longer for another's writing than this, as 20 seconds would pass in a real shop."""
    with connection.cursor() as cursor:
        cursor.execute(f"{'PRAGMA busy_timeout' if SQLITE else 'SET lock_timeout'} = {milliseconds}")
    try:
        yield
    finally:
        connection.close()


def test_who_comes_while_another_writes_for_a_moment_waits_and_is_served(counter, as_person):
    client = as_person(counter)
    with held() as ends:
        threading.Timer(0.3, ends).start()
        began = time.monotonic()
        answer = client.post(reverse("check-in-customer"), NEW)
        waited = time.monotonic() - began
    assert answer.status_code == 302
    assert waited > 0.25
    assert Customer.objects.get().name == "Ilka Sandvoort"


def test_who_waits_too_long_gets_a_page_that_keeps_what_was_typed_and_sends_it_again(counter, as_person):
    client = as_person(counter)
    with held(), patience(20):
        answer = client.post(reverse("check-in-customer"), NEW)
    page = answer.content.decode()
    assert answer.status_code == 503
    assert int(answer["Retry-After"]) > 0
    assert "no-store" in answer["Cache-Control"]
    assert "locked" not in page
    assert "database" not in page
    assert '<li dir="auto">Calls after six, left-handed.</li>' in page
    again = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', page))
    again = {name: html.unescape(value) for name, value in again.items()}
    again.pop("csrfmiddlewaretoken", None)
    assert again == NEW
    assert client.post(reverse("check-in-customer"), again).status_code == 302
    assert client.post(reverse("check-in-customer"), again).status_code == 302
    assert Customer.objects.count() == 1


def test_photos_of_a_form_that_could_not_be_taken_are_asked_for_once_more(counter, as_person):
    client, job = as_person(counter), JobFactory()
    with held(), patience(20):
        answer = client.post(reverse("photo-add", args=[job.number]), {"photo": picture(), "key": "p1"})
    page = answer.content.decode()
    assert answer.status_code == 503
    assert 'enctype="multipart/form-data"' in page
    assert "Choose the photos once more" in page


def test_a_fragment_gets_a_sentence_that_the_page_shows_beside_what_is_typed(counter, as_person):
    client, (customer, inflatable) = as_person(counter), somebody()
    start = {"customer": customer.pk, "inflatable": inflatable.pk, "key": "k2"}
    with held(), patience(20):
        answer = client.post(reverse("check-in-start"), start, HTTP_HX_REQUEST="true")
    assert answer.status_code == 503
    assert "Send it again" in answer["X-Sentence"]
    assert "<" not in answer.content.decode()
    assert not Job.objects.exists()


def test_a_password_is_never_written_into_a_page(client, owner):
    with held(), patience(20):
        answer = client.post(reverse("login"), {"username": "runa", "password": "a tube wants air"})
    page = answer.content.decode()
    assert answer.status_code == 503
    assert "a tube wants air" not in page
    assert "Open the page again" in page


def test_outside_the_views_too_it_is_said_in_words(counter, as_person):
    client = as_person(counter)
    client.raise_request_exception = False
    # The first request of all writes down that there is a shop.
    Shop.objects.all().delete()
    with held(), patience(20):
        answer = client.get(reverse("rack"))
    assert answer.status_code == 503
    assert "Open the page again" in answer.content.decode()


def test_reading_goes_on_while_another_writes(counter, as_person):
    client = as_person(counter)
    with held(), patience(20):
        assert client.get(reverse("rack")).status_code == 200


def test_a_table_that_is_not_there_is_a_fault_of_ours_and_not_taken_for_busy():
    with pytest.raises(DatabaseError) as met, connection.cursor() as cursor:
        cursor.execute("SELECT * FROM never_made")
    assert not is_busy(met.value)
