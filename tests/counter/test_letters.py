"""A job's letters: where each stands in words, and what a person may decide about it."""

import html
import re
from typing import Any

import pytest
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse

from shoprepair.jobs.models import Job
from shoprepair.shop import outbox
from shoprepair.shop.models import JournalEntry, Letter, Staff
from shoprepair.shop.outbox import texts
from shoprepair.shop.settings import current
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db
BROKE = "the line broke while it was being sent"


@pytest.fixture
def job() -> Job:
    return JobFactory(number=412)


@pytest.fixture
def client(as_person: Any, counter: Staff) -> Client:
    return as_person(counter)


def a_letter(job: Job, **fields: Any) -> Letter:
    values = {name: texts.SAMPLES[name] for name in texts.TEXTS["quote-out"].placeholders}
    values["gear"] = fields.pop("gear", values["gear"])
    letter = outbox.write("ida@lee.example", "quote-out", values, about=job)
    Letter.objects.filter(pk=letter.pk).update(**fields)
    letter.refresh_from_db()
    return letter


def shown(job: Job) -> str:
    shown = {"letters": outbox.letters(job), "back": "/jobs/412/", "shop": current()}
    return render_to_string("parts/letters.html", shown)


def words(page: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", page)).split())


def test_a_letter_that_perhaps_arrived_may_be_sent_again_or_left(job: Job) -> None:
    letter = a_letter(job, state="unsure", last_error=BROKE)
    page = shown(job)

    assert f"perhaps sent: {BROKE}" in words(page)
    assert reverse("letter-again", args=[letter.pk]) in page
    assert reverse("letter-cancel", args=[letter.pk]) in page


def test_a_letter_that_waits_may_only_be_held_back(job: Job) -> None:
    letter = a_letter(job)
    page = shown(job)

    assert "waiting: no mail server is set" in words(page)
    assert reverse("letter-again", args=[letter.pk]) not in page
    assert reverse("letter-cancel", args=[letter.pk]) in page


@pytest.mark.parametrize("state", ["sent", "sending", "cancelled"])
def test_nothing_is_to_be_decided_about_a_letter_that_is_settled(job: Job, state: str) -> None:
    a_letter(job, state=state)

    assert "<form" not in shown(job)


def test_a_job_without_letters_says_so(job: Job) -> None:
    assert "No letter was written yet." in shown(job)


def test_names_in_a_letter_are_words_and_never_markup(job: Job) -> None:
    a_letter(job, gear="<script>alert(1)</script>")

    assert "<script>" not in shown(job)


def test_sending_again_comes_back_to_where_it_was_asked(client: Client, job: Job, counter: Staff) -> None:
    letter = a_letter(job, state="unsure")
    answer = client.post(reverse("letter-again", args=[letter.pk]), {"next": "/jobs/412/#letter-1"})

    assert answer["Location"] == "/jobs/412/#letter-1"
    letter.refresh_from_db()
    assert letter.state == "waiting"
    assert JournalEntry.objects.get(verb="letter.again").who == counter


def test_a_letter_held_back_is_not_sent(client: Client, job: Job) -> None:
    letter = a_letter(job)
    answer = client.post(reverse("letter-cancel", args=[letter.pk]), {"next": "https://elsewhere.example/"})

    assert answer["Location"] == "/jobs/412/"
    letter.refresh_from_db()
    assert letter.state == "cancelled"


def test_a_letter_about_something_else_leads_to_the_rack(client: Client, job: Job) -> None:
    letter = a_letter(job, about="shop:1")

    assert client.post(reverse("letter-cancel", args=[letter.pk]))["Location"] == reverse("rack")


def test_two_taps_on_send_again_send_it_again_once(client: Client, job: Job) -> None:
    letter = a_letter(job, state="failed")
    address = reverse("letter-again", args=[letter.pk])
    client.post(address)
    answer = client.post(address, follow=True)

    assert "already in another state: waiting to be sent" in answer.content.decode()
    assert JournalEntry.objects.filter(verb="letter.again").count() == 1


@pytest.mark.parametrize("name", ["letter-again", "letter-cancel"])
def test_only_those_who_work_here_decide_and_only_by_pressing_a_button(
    client: Client, stranger: Client, job: Job, name: str
) -> None:
    letter = a_letter(job, state="unsure")
    address = reverse(name, args=[letter.pk])

    assert client.get(address).status_code == 405
    assert stranger.post(address)["Location"] == f"/log-in/?next={address}"
    assert client.post(reverse(name, args=[letter.pk + 1])).status_code == 404
    letter.refresh_from_db()
    assert letter.state == "unsure"
