"""The status link and the conversation from the shop's side."""

import pytest
from django.urls import reverse

from shoprepair.jobs import conversation, links
from shoprepair.jobs.models import Message, StatusLink
from shoprepair.shop import settings
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def job(db):
    return JobFactory()


def sheet(client, job) -> str:
    return client.get(job.get_absolute_url()).content.decode()


def send(client, name, job, **fields):
    return client.post(reverse(name, args=[job.number]), fields)


def test_a_job_without_a_link_offers_to_make_one(client, job):
    page = sheet(client, job)

    assert "Make the status link" in page
    assert "/s/" not in page


def test_a_link_is_made_once_and_stands_with_its_code_and_whole_address(client, job):
    shop = settings.current()
    shop.web_address = "https://loft.example.org"
    shop.save()

    send(client, "status-link", job)
    send(client, "status-link", job)

    page = sheet(client, job)
    assert StatusLink.objects.count() == 1
    assert f"https://loft.example.org{links.path(links.current(job))}" in page
    assert page.count("<svg") > 1
    assert "without an account" in page


def test_another_link_takes_the_place_of_the_first_and_a_double_tap_makes_one(client, job, counter):
    first = links.make(job, who=counter)

    for _ in range(2):
        send(client, "status-link", job, renew="1", key="once")

    assert StatusLink.objects.count() == 2
    assert links.find(links.token(first)) is None
    assert links.path(links.current(job)) in sheet(client, job)


def test_a_withdrawn_link_is_gone_from_the_sheet(client, job, counter):
    link = links.make(job, who=counter)

    for _ in range(2):
        assert send(client, "status-link-withdraw", job).status_code == 302

    page = sheet(client, job)
    assert links.token(link) not in page
    assert "Make the status link" in page


def test_what_was_asked_and_answered_stands_in_order(client, job):
    conversation.ask(job, name="Oda Tveit", text="Will it be ready by Friday?")

    for _ in range(2):
        send(client, "reply", job, text="Yes, by Thursday.", key="once")

    page = sheet(client, job)
    assert page.index("Will it be ready by Friday?") < page.index("Yes, by Thursday.")
    assert Message.objects.count() == 2


@pytest.mark.parametrize("text", ["   ", "x" * 10_000])
def test_an_answer_that_cannot_be_kept_is_said_beside_the_field_and_keeps_the_words(client, job, text):
    answer = send(client, "reply", job, text=text)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="reply-error"' in page
    assert text.strip() in page
    assert not Message.objects.exists()


def test_what_is_said_never_becomes_markup(client, job):
    bad = "<script>x</script>"
    conversation.ask(job, name=f"Oda {bad}", text=bad)

    page = sheet(client, job)

    assert "<script>x" not in page


def test_without_an_address_the_sheet_says_that_no_letter_goes_out(client, job):
    assert "No e-mail address is known" in sheet(client, job)
