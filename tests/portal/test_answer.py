"""Accepting and declining: once, for what was shown, by somebody who gives a name."""

import datetime
from decimal import Decimal

import pytest
import time_machine
from django.test import Client
from django.utils import timezone

from shoprepair.jobs.models import Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.shop import journal, outbox
from tests.factories import QuoteLineFactory
from tests.portal.visits import SHOP, address, answer, assessed, bid, given, kept, line, words

pytestmark = pytest.mark.django_db

WASH = {"text": "Wash and dry", "amount": Decimal("20.00"), "optional": True}
PATCH = {"text": "Bladder patch", "amount": Decimal("30.00"), "choice": "bladder"}
RENEW = {"text": "A new bladder", "amount": Decimal("140.00"), "choice": "bladder", "taken": False}


@pytest.fixture
def quote(job, owner) -> Quote:
    """100 for the patch, 20 for washing if wanted, 30 or 140 for the bladder; 10 % tax: 165."""
    return bid(job, owner, [WASH, PATCH, RENEW])


def state(quote: Quote) -> str:
    quote.refresh_from_db()
    return quote.state


def test_accepting_with_a_name_fixes_what_was_shown_and_moves_the_job(client, job, quote):
    response = answer(client, job, quote, total_shown="165.00")
    assert (response.status_code, response["Location"]) == (302, address(job) + "#quote")
    quote.refresh_from_db()
    job.refresh_from_db()
    assert (quote.state, quote.answered_name, job.stage) == ("accepted", "Ilka Sandvoort", Stage.GO_AHEAD)
    assert (quote.agreed["total"], quote.agreed["terms"]) == ("165.00", "Fetched within 30 days.")
    assert [letter.code for letter in outbox.letters(job)] == ["go-ahead-received", "quote-out"]
    assert journal.entries(job).filter(who=None, who_name="Ilka Sandvoort (customer)").exists()


def test_an_optional_line_can_be_left_out(client, job, quote):
    answer(client, job, quote, take=[], total_shown="143.00")
    assert state(quote) == "accepted"
    assert [each["text"] for each in quote.agreed["lines"] if not each["taken"]] == [
        "Wash and dry",
        "A new bladder",
    ]
    page = client.get(address(job)).content.decode()
    assert page.index("Left out") < page.index("Wash and dry")


def test_the_other_of_two_can_be_chosen(client, job, quote):
    chosen = line(quote, "A new bladder").pk
    answer(client, job, quote, total_shown="286.00", **{"choice-0": chosen})
    assert state(quote) == "accepted"
    assert {each["text"] for each in quote.agreed["lines"] if each["taken"]} == {
        "Casing patch",
        "Wash and dry",
        "A new bladder",
    }


def test_working_out_the_total_changes_nothing_and_keeps_what_was_ticked_and_typed(client, job, quote):
    before = kept()
    response = answer(client, job, quote, act="total", take=[], name="Ilka S")
    assert response.status_code == 200
    assert "Accept for $143.00" in words(response)
    body = response.content.decode()
    assert 'value="143.00"' in body
    assert 'value="Ilka S"' in body
    assert f'value="{line(quote, "Wash and dry").pk}"' in body
    assert body.count("checked") == 1
    assert kept() == before


def test_a_total_that_is_not_the_one_shown_comes_back_with_the_right_one(client, job, quote):
    before = kept()
    response = answer(client, job, quote, take=[], total_shown="165.00")
    assert response.status_code == 409
    page = words(response)
    assert "What you chose comes to $143.00. Accept again if that is right; nothing was sent yet." in page
    assert "Accept for $143.00" in page
    assert 'value="Ilka Sandvoort"' in response.content.decode()
    assert kept() == before
    assert answer(client, job, quote, take=[], total_shown="143.00").status_code == 302


@pytest.mark.parametrize("shown", ["", "1.00", "-165", "NaN", "Infinity", "sNaN", "1e9", "165,00", "x" * 99])
def test_the_price_is_the_server_s_whatever_the_form_says(client, job, quote, shown):
    assert answer(client, job, quote, total_shown=shown).status_code == 409
    assert state(quote) == "out"


@pytest.mark.parametrize("name", ["", "   ", "\u200b", "\u3164", "...", "\0"])
def test_a_name_of_only_blanks_is_refused_beside_its_field(client, job, quote, name):
    response = answer(client, job, quote, name=name, total_shown="165.00")
    assert response.status_code == 422
    assert "Type your name; it stands for your signature." in words(response)
    top, fields = response.content.decode().split('id="quote"')[1].split("data-total-shown", 1)
    assert 'href="#answer-name"' in top, "where the page opens it leads to the field"
    assert 'aria-invalid="true"' in fields
    assert 'aria-describedby="answer-hint answer-error"' in response.content.decode()
    assert state(quote) == "out"


@pytest.mark.parametrize("act", ["accept", "decline"])
def test_figures_alone_are_no_signature(client, job, quote, act):
    response = answer(client, job, quote, act=act, name="12345", total_shown="165.00")
    assert response.status_code == 422
    assert "Type your name in letters; it stands for your signature." in words(response)
    assert state(quote) == "out"


def test_an_over_long_name_is_refused_and_kept_as_typed(client, job, quote):
    response = answer(client, job, quote, name="x" * 121, total_shown="165.00")
    assert response.status_code == 422
    assert "x" * 121 in response.content.decode()


def test_declining_takes_a_name_too_and_keeps_its_second_step_open(client, job, quote):
    response = answer(client, job, quote, act="decline", name=" ")
    assert response.status_code == 422
    assert '<details class="opens" open>' in response.content.decode()
    assert "decline-error" in response.content.decode()
    assert state(quote) == "out"


def test_declining_by_name_ends_the_visit_without_a_repair(client, job, quote):
    assert answer(client, job, quote, act="decline").status_code == 302
    job.refresh_from_db()
    assert (state(quote), quote.answered_name, job.stage) == ("declined", "Ilka Sandvoort", Stage.DECLINED)


def test_the_same_answer_again_is_the_one_on_record(client, job, quote):
    answer(client, job, quote, total_shown="165.00")
    before = kept()
    for _ in range(3):
        assert answer(client, job, quote, total_shown="165.00").status_code == 302
    assert kept() == before


@pytest.mark.parametrize("again", [{"act": "decline"}, {"take": []}, {"name": "Somebody Else"}])
def test_another_answer_after_the_first_shows_the_recorded_one(client, job, quote, again):
    answer(client, job, quote, total_shown="165.00")
    before = kept()
    response = answer(client, job, quote, **{"total_shown": "165.00", **again})
    assert response.status_code == 409
    assert "This quote was already accepted by Ilka Sandvoort." in words(response)
    assert "Agreed: $165.00" in words(response)
    assert kept() == before


def test_whoever_goes_back_after_accepting_meets_the_recorded_answer(client, job, quote):
    response = answer(client, job, quote, total_shown="165.00")
    assert client.get(address(job))["Cache-Control"] == "private, no-store"
    assert response["Cache-Control"] == "private, no-store"
    response = answer(client, job, quote, act="total")
    assert "Agreed: $165.00" in words(response)


def newer(quote: Quote, owner) -> Quote:
    draft = quotes.revise(quote, who=owner)
    QuoteLineFactory(quote=draft, text="One more patch")
    draft.refresh_from_db()
    return quotes.send(draft, who=owner, version=draft.version, base_url=SHOP)


@pytest.mark.parametrize("act", ["accept", "decline", "total"])
def test_a_quote_that_was_replaced_meanwhile_is_not_answered_and_the_newer_one_is_shown(
    client, job, quote, owner, act
):
    fresh = newer(quote, owner)
    response = answer(client, job, quote, act=act, total_shown="165.00")
    assert response.status_code == 409
    page = words(response)
    assert "The shop has sent a newer quote since you opened this page." in page
    assert "One more patch" in page
    assert f'name="quote" value="{fresh.number}"' in response.content.decode()
    # What was ticked on the old one says nothing about the new one.
    assert response.content.decode().count("checked") == 2
    assert (state(quote), state(fresh)) == ("replaced", "out")


def test_a_quote_that_was_taken_back_meanwhile_is_not_answered(client, job, quote, owner):
    quotes.withdraw(quote, who=owner, reason="A line was wrong.")
    response = answer(client, job, quote, total_shown="165.00")
    assert response.status_code == 409
    assert "The shop has taken this quote back since you opened the page" in words(response)
    assert state(quote) == "withdrawn"


def test_a_draft_beside_the_quote_that_is_out_does_not_keep_it_from_being_accepted(client, job, quote, owner):
    draft = quotes.revise(quote, who=owner)
    assert answer(client, job, quote, total_shown="165.00").status_code == 302
    assert state(quote) == "accepted"
    assert state(draft) == "draft"


def test_an_expired_quote_is_not_answered(client, job, quote):
    form = given(quote, total_shown="165.00")
    with time_machine.travel(timezone.now() + datetime.timedelta(days=15)):
        response = client.post(address(job, "answer/"), form)
    assert response.status_code == 409
    assert "This quote was valid until" in words(response)
    assert state(quote) == "out"


@pytest.mark.parametrize(
    "spoilt",
    [
        {"version": "99"},
        {"version": "x"},
        {"quote": "x"},
        {"quote": "9" * 99},
        {"take": ["x", "-1", "9" * 99]},
        {"choice-0": ""},
        {"choice-0": ["1", "2", "3", "4"]},
        {"act": "set-fire"},
        {"act": ""},
    ],
)
def test_a_spoilt_form_accepts_nothing_and_faults_nowhere(client, job, quote, spoilt):
    response = answer(client, job, quote, **{"total_shown": "165.00", **spoilt})
    assert response.status_code in {200, 409}
    assert state(quote) == "out"


def test_a_line_of_another_quote_is_none_of_this_one_s(client, job, quote, owner):
    other = bid(assessed(), owner, [WASH])
    response = answer(client, job, quote, take=[line(other, "Wash and dry").pk], total_shown="165.00")
    assert response.status_code == 409
    assert state(quote) == "out"


def test_a_form_that_is_not_ours_accepts_nothing_and_loses_nothing(job, quote):
    strict = Client(enforce_csrf_checks=True)
    response = answer(strict, job, quote, total_shown="165.00")
    assert response.status_code == 403
    assert "Nothing was sent yet" in words(response)
    assert 'value="Ilka Sandvoort"' in response.content.decode()
    assert state(quote) == "out"


def test_opening_the_address_of_the_answer_leads_back_to_the_page(client, job, quote):
    for open_ in (client.get, client.head):
        response = open_(address(job, "answer/"))
        assert (response.status_code, response["Location"]) == (302, address(job) + "#quote")
    assert client.delete(address(job, "answer/")).status_code == 405
    assert state(quote) == "out"
