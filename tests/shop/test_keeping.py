"""A form sent after its log-in had ended: where it leads, and how the browser learns that one was taken."""

import pytest
from django.test import Client
from django.urls import reverse

from shoprepair.jobs.models import Job
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db
SHEET = "http://testserver/jobs/412/?journal=whole"


@pytest.fixture
def job(db) -> Job:
    return JobFactory(number=412)


@pytest.fixture
def client(as_person, counter) -> Client:
    return as_person(counter)


def send(client: Client, text: str = "It is ready.", **headers: str):
    form = {"text": text, "key": "k", "kept-as": "q7w8e9"}
    return client.post(reverse("reply", args=[412]), form, headers=headers)


def test_the_browser_hears_which_form_was_taken(client, job):
    cookie = send(client).cookies["taken"]
    assert (cookie.value, cookie["samesite"], cookie["path"]) == ("q7w8e9", "Strict", "/")
    assert not cookie["httponly"]


def test_over_an_encrypted_line_it_hears_it_as_safely_as_of_its_log_in(client, job, settings):
    settings.HTTPS = True
    cookie = send(client).cookies["__Host-taken"]
    assert cookie["secure"]


def test_a_form_that_was_refused_is_kept_on(client, job):
    answer = send(client, text="")
    assert (answer.status_code, "taken" in answer.cookies) == (422, False)


def test_a_form_that_met_the_log_in_is_kept_on_and_leads_back_to_its_page(stranger, job):
    answer = send(stranger, Referer=SHEET)
    assert answer["Location"] == "/log-in/?next=%2Fjobs%2F412%2F%3Fjournal%3Dwhole"
    assert "taken" not in answer.cookies


@pytest.mark.parametrize("page", ["", "https://elsewhere.example/jobs/412/", "//e", "javascript:alert(1)"])
def test_a_page_elsewhere_is_nowhere_to_lead_back_to(stranger, job, page):
    answer = send(stranger, **({"Referer": page} if page else {}))
    assert answer["Location"] == "/log-in/?next=/jobs/412/reply/"


@pytest.mark.parametrize("name", ["", "x" * 41, "a; Domain=.example", "a\r\nSet-Cookie: b", "é"])
def test_a_name_that_is_not_ours_is_not_said_back(client, job, name):
    answer = client.post(reverse("reply", args=[412]), {"text": "It is ready.", "key": "k", "kept-as": name})
    assert (answer.status_code, "taken" in answer.cookies) == (302, False)


def test_looking_at_a_page_takes_no_form(client, job):
    assert "taken" not in client.get("/jobs/412/", {"kept-as": "q7w8e9"}).cookies


def test_who_logs_out_is_led_to_the_log_in_and_not_back(client, job):
    answer = client.post(reverse("logout"), headers={"Referer": SHEET})
    assert answer["Location"] == "/log-in/"
