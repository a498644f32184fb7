"""Gear taken in on a device without a line: sent once, asked about, refused beside its field."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs import checkin
from shoprepair.jobs.models import Customer, Job, Ownership, Stage
from shoprepair.shop.models import Staff
from tests import shelves
from tests.factories import InflatableFactory, JobFactory

pytestmark = pytest.mark.django_db
SEND = "/check-in/kept/send/"


@pytest.fixture(autouse=True)
def _patterns() -> None:
    shelves.patterns()


@pytest.fixture
def ida(counter: Staff) -> Customer:
    return checkin.add_customer("Ida Quist", phone="+1 555 0134", who=counter)


@pytest.fixture
def at_counter(client, counter: Staff):
    client.force_login(counter)
    return client


def sent(client, **more: object):
    given = {
        "name": "Ida Quist",
        "kind": "wing",
        "size": "medium",
        "key": "k",
        "came_with": ["bag"],
        "other": "fin",
    }
    return client.post(SEND, {**given, **more}, headers={"HX-Request": "true"})


def test_it_becomes_a_visit_and_says_where_it_is_gone_on_with(at_counter):
    answer = sent(at_counter, waited_s="7200", said="Hit a rock.")
    job = Job.objects.get()
    assert answer.json() == {"leads_to": reverse("job-check-in", args=[job.number])}
    assert job.came_with == ["bag", "fin"]
    waited = timezone.now() - job.received_at
    assert datetime.timedelta(hours=2) <= waited < datetime.timedelta(hours=2, minutes=1)


def test_sent_again_after_its_answer_was_lost_it_is_taken_in_once(at_counter):
    assert sent(at_counter).json() == sent(at_counter).json()
    assert (Customer.objects.count(), Job.objects.count()) == (1, 1)


def test_what_is_missing_is_said_beside_its_field_and_nothing_is_made(at_counter):
    answer = sent(at_counter, name="", kind="", phone="12")
    assert answer.status_code == 422
    assert set(answer.json()["wrong"]) == {"name", "kind"}
    assert sent(at_counter, phone="12").json()["wrong"]["phone"].startswith("A phone number has")
    assert not Customer.objects.exists()


def test_both_are_shown_where_the_customer_may_be_known(at_counter, ida):
    answer = sent(at_counter, name="I. Quist", phone="555 0134")
    page = answer.content.decode()
    assert answer.status_code == 409
    assert all(words in page for words in ("I. Quist", "555 0134", "+1 555 0134", "same phone number"))
    assert sent(at_counter, name="I. Quist", phone="555 0134", customer="new").status_code == 200
    assert Customer.objects.count() == 2


def test_after_the_customer_their_gear_is_asked_about(at_counter, ida):
    wing = InflatableFactory(pattern__kind="wing", serial="WX 12")
    Ownership.objects.create(customer=ida, inflatable=wing)
    page = sent(at_counter, customer=str(ida.pk))
    assert page.status_code == 409
    assert f'value="{wing.pk}"' in page.content.decode()
    assert f'name="customer" value="{ida.pk}"' in page.content.decode()
    assert sent(at_counter, customer=str(ida.pk), gear=str(wing.pk)).status_code == 200
    assert Job.objects.get().inflatable == wing


def test_gear_that_is_here_already_offers_to_write_it_to_that_jobs_notes(at_counter, ida):
    wing = InflatableFactory(pattern__kind="wing")
    Ownership.objects.create(customer=ida, inflatable=wing)
    here = JobFactory(customer=ida, inflatable=wing, stage=Stage.CHECKED_IN)
    page = sent(at_counter, customer=str(ida.pk)).content.decode()
    assert f'value="note-{wing.pk}"' in page
    assert here.get_absolute_url() in page
    sent(at_counter, customer=str(ida.pk), gear=f"note-{wing.pk}", said="Also the strut.")
    here.refresh_from_db()
    assert here.note.endswith("Also the strut.")


@pytest.mark.parametrize(
    "chosen", [{"customer": "999"}, {"customer": "x"}, {"gear": "note-x"}, {"gear": "9" * 20}]
)
def test_what_is_not_there_any_more_was_not_chosen(at_counter, ida, chosen):
    assert sent(at_counter, **chosen).status_code == 409
    assert not Job.objects.exists()


def test_names_stand_as_written_in_the_question(at_counter, ida):
    page = sent(at_counter, name="Ida Quist", model="<b>five</b>", customer="").content.decode()
    assert "<b>five" not in page


def test_nobody_sends_without_a_log_in(client):
    assert sent(client).status_code == 401


def test_the_page_of_what_waits_names_nobody(at_counter, ida):
    page = at_counter.get("/check-in/kept/").content.decode()
    assert "data-kept-list" in page
    assert "Quist" not in page


def test_its_desk_asks_for_the_model_that_was_written_and_not_chosen(at_counter):
    desk = sent(at_counter, model="five metres").json()["leads_to"]
    job = Job.objects.get()
    page = at_counter.get(desk).content.decode()
    assert reverse("enquiry-model", args=[job.number]) in page
    assert "five metres" in page
    assert at_counter.get(reverse("enquiry-model", args=[job.number])).status_code == 200
