"""The page of one side of a transfer: what it shows, what opening it leaves alone, and the answer."""

import re
from html import unescape

import pytest
from django.test import Client

from shoprepair.cover import endings, transfer_links, transfers
from shoprepair.cover.models import Ending, Transfer
from shoprepair.jobs import ownership
from shoprepair.shop.models import Letter
from tests.factories import CustomerFactory, InflatableFactory, JobFactory, OwnershipFactory
from tests.papers.covering import TERMS, cover, visit
from tests.portal.visits import kept, words

pytestmark = pytest.mark.django_db

FIRST_ONLY = {"words": "For a year, to whoever had it sewn.", "months": 12, "passes_on": False}


@pytest.fixture
def offered(shop, counter) -> Transfer:
    """Ilka's wing with two covers, offered to Brann."""
    ilka = CustomerFactory(name="Ilka Sandvoort", email="ilka@sand.example", phone="+1 555 0134")
    brann = CustomerFactory(name="Brann Sollvik", email="brann@soll.example", phone="+1 555 0178")
    wing = InflatableFactory(serial="PT-77010", colour="sea green", note="Owes us a coffee.")
    OwnershipFactory(customer=ilka, inflatable=wing)
    back = visit(wing, customer=ilka)
    cover(back)
    cover(back, x_m=-0.6, terms=FIRST_ONLY)
    return transfers.offer(wing, brann, who=counter, note="Sold at the spring meeting.")


def address(transfer: Transfer, side: str, part: str = "") -> str:
    return f"{transfer_links.path(transfer, side)}{part}"


def page(client: Client, transfer: Transfer, side: str) -> str:
    response = client.get(address(transfer, side))
    assert response.status_code == 200
    return words(response)


def shown(client: Client, transfer: Transfer, side: str) -> str:
    body = client.get(address(transfer, side)).content.decode()
    return unescape(re.search(r'name="shown" value="([^"]*)"', body)[1])


def answer(client: Client, transfer: Transfer, side: str, act: str, **fields: str):
    if act == "agree" and "shown" not in fields:
        fields["shown"] = shown(client, transfer, side)
    return client.post(address(transfer, side, "answer/"), {"act": act, **fields}, follow=True)


@pytest.mark.parametrize("side", ["giver", "taker"])
def test_each_side_reads_what_passes_and_on_what_terms(client, offered, side):
    said = page(client, offered, side)
    assert "Ilka Sandvoort" in said
    assert "Brann Sollvik" in said
    for told in ("PT-77010", "sea green", TERMS, FIRST_ONLY["words"], "Sold at the spring meeting."):
        assert told in said
    along, ends = said.split("Ends with the present owner")
    assert "Cover 00001" in along
    assert "Passes to a new owner" in along
    assert "Cover 00002" in ends
    assert "For the first owner only" in ends


def test_tags_are_those_of_the_paper_and_show_what_is_asked_about_alone(client, offered, owner):
    endings.end(offered.inflatable.covers.first(), Ending.Reason.VOID, "Cut out again.", who=owner)
    body = client.get(address(offered, "taker")).content.decode()
    assert re.findall(r'href="#cover-(\d+)"', body) == ["2"]
    assert re.findall(r'id="cover-(\d+)"', body) == ["2"]


@pytest.mark.parametrize("side", ["giver", "taker"])
def test_nobody_reads_how_to_reach_the_other(client, offered, side):
    body = client.get(address(offered, side)).content.decode()
    for secret in ("ilka@", "brann@", "0134", "0178", "coffee", "Orrevik"):
        assert secret not in body


@pytest.mark.parametrize("method", ["get", "head"])
def test_opening_it_changes_nothing(client, offered, method):
    before = kept()
    for side in transfers.SIDES:
        for part in ("", "answer/"):
            assert getattr(client, method)(address(offered, side, part)).status_code in (200, 302)
    assert kept() == before


def test_when_both_have_agreed_on_their_pages_it_is_done_and_both_read_so(client, offered):
    first = words(answer(client, offered, "giver", "agree"))
    assert "You have agreed" in first
    assert "It is done once Brann Sollvik agrees too" in first
    assert "Ilka Sandvoort agreed on" in page(client, offered, "taker")
    assert "Passed to Brann Sollvik" in words(answer(client, offered, "taker", "agree"))
    said = page(client, offered, "giver")
    assert "Passed to Brann Sollvik" in said
    along, ended = said.split("Ended with the former owner")
    assert "Cover 00001" in along
    assert "Cover 00002" in ended
    assert "I agree" not in said
    assert ownership.owner(offered.inflatable).name == "Brann Sollvik"
    done = Letter.objects.filter(code="transfer-done")
    assert all("http://testserver/o/" in letter.body for letter in done)


def test_a_second_tap_is_the_same_answer(client, offered):
    for side in transfers.SIDES:
        said = shown(client, offered, side)
        for _ in range(2):
            assert answer(client, offered, side, "agree", shown=said).status_code == 200
    assert Letter.objects.filter(code="transfer-done").count() == 2


def test_a_no_is_read_by_both_and_moves_nothing(client, offered):
    assert "You refused" in words(answer(client, offered, "taker", "refuse"))
    assert "Brann Sollvik refused" in page(client, offered, "giver")
    late = client.post(address(offered, "giver", "answer/"), {"act": "agree", "shown": "1|2"})
    assert late.status_code == 409
    assert "Brann Sollvik has refused this transfer" in words(late)
    assert ownership.owner(offered.inflatable).name == "Ilka Sandvoort"


def test_a_yes_after_the_shop_called_it_off_is_answered_with_why(client, offered, counter):
    said = shown(client, offered, "giver")
    transfers.end(offered, "shop", who=counter)
    late = client.post(address(offered, "giver", "answer/"), {"act": "agree", "shown": said})
    assert late.status_code == 409
    assert "The shop called it off" in words(late)
    assert "Maja" not in words(late)


def test_a_yes_to_covers_that_changed_is_asked_again(client, offered, owner):
    said = shown(client, offered, "taker")
    ended = offered.inflatable.covers.first()
    endings.end(ended, Ending.Reason.VOID, "Cut out again.", who=owner)
    late = answer(client, offered, "taker", "agree", shown=said)
    assert late.status_code == 409
    assert "The covers have changed since you opened the page" in words(late)
    assert "Passed" not in words(answer(client, offered, "taker", "agree"))


@pytest.mark.parametrize("act", ["", "yes", "AGREE", "\0"])
def test_what_is_neither_yes_nor_no_is_not_an_answer(client, offered, act):
    response = client.post(address(offered, "giver", "answer/"), {"act": act})
    assert (response.status_code, transfers.state(offered)) == (422, "open")
    assert "press one of the two buttons" in words(response)


@pytest.mark.parametrize("side", ["giver", "taker"])
def test_of_all_that_can_be_tapped_the_answer_alone_is_filled(client, offered, side):
    body = client.get(address(offered, side)).content.decode()
    assert body.count("is-primary") == 1
    assert re.search(r'<button class="button is-primary[^>]*value="agree"', body)


def test_a_visit_under_way_is_spoken_of(client, offered):
    JobFactory(number=412, inflatable=offered.inflatable, customer=offered.giver, stage="bench")
    said = page(client, offered, "taker")
    assert "job 0412" in said
    assert "stays with whoever brought the gear" in said


@pytest.mark.parametrize("part", ["", "answer/"])
@pytest.mark.parametrize("key", ["A" * 43, "short", "%00", "x" * 5000, "a/b/c"])
def test_an_unknown_key_opens_what_any_dead_link_does(client, offered, key, part):
    response = client.get(f"/o/{key}/{part}")
    assert response.status_code == 404
    assert "This link no longer works" in words(response)
    assert "PT-77010" not in words(response)


def test_every_answer_is_kept_by_nobody_and_told_to_nobody(client, offered):
    here = address(offered, "giver")
    for response in (client.get(here), client.post(f"{here}answer/"), client.get("/o/x/")):
        assert response["Cache-Control"] in {"private, no-store", "no-store, private"}
        assert response["Referrer-Policy"] == "no-referrer"
        assert response["X-Robots-Tag"] == "noindex, nofollow, noarchive"
        assert "default-src 'none'" in response["Content-Security-Policy"]


def test_a_form_from_elsewhere_is_not_taken(offered):
    strict = Client(enforce_csrf_checks=True)
    strict.get(address(offered, "giver"))
    response = strict.post(address(offered, "giver", "answer/"), {"act": "agree", "shown": "1|2"})
    assert response.status_code == 403
    assert "Nothing was sent yet" in words(response)
    offered.refresh_from_db()
    assert offered.giver_agreed_at is None


def test_the_page_links_nowhere_else(client, offered):
    body = client.get(address(offered, "giver")).content.decode()
    for target in re.findall(r'(?:href|src|action)="([^"]*)"', body):
        assert target.startswith(("/static/", "/o/", "#", "tel:")), target
