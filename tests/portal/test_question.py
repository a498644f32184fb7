"""Asking the shop on the status link."""

import pytest
from django.test import Client

from shoprepair.jobs import conversation
from shoprepair.jobs.models import Message
from tests.factories import accepted
from tests.portal.visits import address, bid, kept, read, words

pytestmark = pytest.mark.django_db


def ask(client: Client, job, text="Can it be ready by Friday?", name="Ilka"):
    return client.post(address(job, "ask/"), {"text": text, "name": name})


def test_a_question_is_kept_and_stands_on_the_page(client, job):
    response = ask(client, job)
    assert (response.status_code, response["Location"]) == (302, address(job) + "#conversation")
    assert "Can it be ready by Friday?" in read(client, job)
    assert Message.objects.get().by is None


def test_the_answer_stands_under_the_shop_s_name_not_the_person_s(client, job, bench):
    ask(client, job)
    conversation.reply(job, who=bench, text="On Thursday.")
    page = read(client, job)
    between = page[page.index("Can it be ready") : page.index("On Thursday.")]
    assert "North Quay Loft" in between
    assert "Brandal" not in page


def test_the_name_is_remembered_from_the_last_question(client, job):
    ask(client, job, name="Ilka Sandvoort")
    assert 'value="Ilka Sandvoort"' in client.get(address(job)).content.decode()


def test_the_name_is_remembered_from_the_quote(client, job, owner):
    accepted(bid(job, owner), job, name="Oda Marrable")
    assert 'value="Oda Marrable"' in client.get(address(job)).content.decode()


def test_ten_thousand_characters_come_back_with_a_sentence_and_all_that_was_typed(client, job):
    text = "wx" * 5000
    response = ask(client, job, text=text, name="Ilka S")
    assert response.status_code == 422
    assert "this one has 10,000" in words(response)
    body = response.content.decode()
    assert text in body
    assert 'value="Ilka S"' in body
    assert not Message.objects.exists()


@pytest.mark.parametrize("name", ["", "   ", "\u200b"])
def test_a_name_of_only_blanks_comes_back_with_the_question(client, job, name):
    response = ask(client, job, name=name)
    assert response.status_code == 422
    assert "Type your name, so that the shop knows who says it." in words(response)
    assert "Can it be ready by Friday?</textarea>" in response.content.decode()


def test_a_question_keeps_its_first_blank_line_when_it_comes_back(client, job):
    response = ask(client, job, text="\n\nTwo lines down", name="")
    assert ">\n\n\nTwo lines down</textarea>" in response.content.decode().replace("\r", "")


def test_a_missing_question_is_asked_for(client, job):
    response = client.post(address(job, "ask/"), {})
    assert response.status_code == 422
    assert "Write your question first." in words(response)


def test_a_link_that_asks_too_much_is_told_to_wait_and_keeps_its_text(client, job):
    for number in range(conversation.MOST_UNANSWERED_A_DAY):
        assert ask(client, job, text=f"Question {number}").status_code == 302
    response = ask(client, job, text="One more")
    assert response.status_code == 429
    assert "still wait for an answer" in words(response)
    assert "One more</textarea>" in response.content.decode()


def test_a_form_that_is_not_ours_asks_nothing_and_loses_nothing(job):
    before = kept()
    response = ask(Client(enforce_csrf_checks=True), job)
    assert response.status_code == 403
    assert "Nothing was sent yet" in words(response)
    assert "Can it be ready by Friday?</textarea>" in response.content.decode()
    assert kept() == before


def test_opening_the_address_of_the_question_leads_back_to_the_page(client, job):
    response = client.get(address(job, "ask/"))
    assert (response.status_code, response["Location"]) == (302, address(job) + "#conversation")
    assert not Message.objects.exists()
