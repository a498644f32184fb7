"""The self-check as plain pages: the address alone says where a visitor stands, and nothing is kept."""

import re
from html import unescape

import pytest
from django.apps import apps
from django.test import Client

from shoprepair.jobs.models import SelfCheckTally
from shoprepair.shop.models import Shop

CUT = "kind=wing&size=medium&at=front-tip&look=cut"
TORN = "kind=wing&size=medium&at=canopy-outer&look=torn&length=palm"
QUESTIONS = (
    ("", "What is damaged?"),
    ("kind=kite", "How big is it?"),
    ("kind=kite&size=unsure", "Where is the damage?"),
    ("kind=kite&size=unsure&at=front-tip", "What does it look like?"),
    (CUT, "How long is it?"),
    (f"{CUT}&length=coin", "Where are you now?"),
    ("kind=wing&size=small&at=strut-centre&look=scrape", "Do the fold test"),
    ("kind=wing&size=small&at=valve&look=soft", "How fast does it go soft?"),
)


def words(client: Client, query: str, **headers: str) -> str:
    """All that a page says, without its markup."""
    page = client.get(f"/self-check/?{query}", headers=headers)
    assert page.status_code == 200
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page.content.decode())).split())


def heading(client: Client, query: str) -> str:
    page = client.get(f"/self-check/?{query}").content.decode()
    found = re.search(r"<h1>(.*?)</h1>", page, re.DOTALL)
    assert found
    return unescape(found[1]).strip()


@pytest.mark.parametrize(("query", "question"), QUESTIONS)
def test_each_answer_leads_to_the_next_question(
    shop: Shop, stranger: Client, query: str, question: str
) -> None:
    assert question in words(stranger, query)


def test_the_rows_of_every_question_lead_on_until_the_answer(shop: Shop, stranger: Client) -> None:
    address, taps = "/self-check/", 0
    while rows := re.findall(r'href="([^"]*)"\s+data-question', stranger.get(address).content.decode()):
        address, taps = unescape(rows[0]), taps + 1
    assert "Do not inflate it; bring it in" in stranger.get(address).content.decode()
    assert taps <= 8


def test_the_answer_says_verdict_reason_steps_charge_and_the_way_on(shop: Shop, stranger: Client) -> None:
    said = words(stranger, TORN)
    assert (
        said.index("Fix it yourself") < said.index("Tape on both sides") < said.index("Send it to the shop")
    )
    for part in ("How to do it", "Never", "Before you go out", "What it means for the repair", "Take care"):
        assert part in said


def test_what_nobody_knew_is_said_to_be_taken_as_the_worse(shop: Shop, stranger: Client) -> None:
    said = words(stranger, "kind=wing&size=unsure&at=canopy-outer&look=torn&length=unsure")
    assert "Taken as the worse You are not sure of the size." in said
    assert "You are not sure of the length." in said


def test_of_several_damages_the_worst_decides(shop: Shop, stranger: Client) -> None:
    before = "also=wing_medium_front-centre_cut_palm___"
    assert heading(stranger, f"{TORN}&{before}") == "Do not inflate it; bring it in"
    assert "The worst of them decides." in words(stranger, f"{TORN}&{before}")
    assert heading(stranger, TORN) == "Fix it yourself"


def test_a_damage_of_other_gear_in_the_address_is_dropped(shop: Shop, stranger: Client) -> None:
    assert heading(stranger, f"{TORN}&also=kite_medium_front-centre_cut_palm___") == "Fix it yourself"


def test_going_back_keeps_the_other_answers(shop: Shop, stranger: Client) -> None:
    page = stranger.get(f"/self-check/?{TORN}&ask=length").content.decode()
    assert "How long is it?" in page
    assert "kind=wing&amp;size=medium&amp;at=canopy-outer&amp;look=torn&amp;length=hand" in page


def test_on_another_size_an_exact_point_is_asked_again_and_a_named_place_is_not(
    shop: Shop, stranger: Client
) -> None:
    point = stranger.get("/self-check/?kind=wing&size=medium&at=0.40,0.60&look=torn&length=palm&ask=size")
    assert "size=small&amp;look=torn" in point.content.decode()
    named = stranger.get(f"/self-check/?{TORN}&ask=size")
    assert "size=small&amp;at=canopy-outer&amp;look=torn" in named.content.decode()


def test_a_length_off_a_ruler_is_taken_and_nonsense_gets_a_sentence(shop: Shop, stranger: Client) -> None:
    torn = TORN.removesuffix("palm")
    assert heading(stranger, f"{torn}37") == "Fix it yourself"
    said = stranger.get(f"/self-check/?{torn}about a hand").content.decode()
    assert "Write whole millimetres from 1 to 5000, such as 37." in unescape(said)
    assert 'value="about a hand"' in said
    assert "autofocus" in said
    assert "Please look again" in said


def test_no_length_at_all_gets_the_sentence_too(shop: Shop, stranger: Client) -> None:
    torn = TORN.removesuffix("palm")
    said = stranger.get(f"/self-check/?{torn}").content.decode()
    assert "Write whole millimetres from 1 to 5000, such as 37." in unescape(said)
    asked = stranger.get(f"/self-check/?{torn.removesuffix('&length=')}").content.decode()
    assert "Write whole millimetres" not in asked


@pytest.mark.parametrize(
    "query",
    [
        "kind=boat",
        "kind=wing&kind=%00&size=large",
        "kind=wing&size=medium&at=900,900&look=cut",
        "kind=wing&size=medium&at=nan,inf&look=cut&length=1e9",
        "kind=kite&size=small&at=handle&look=cut",
        f"{TORN}&also=&also=____&also={'x' * 4000}&ask=kind%27&lang=%FF",
        "ask=at",
    ],
)
def test_junk_in_an_address_is_asked_again(shop: Shop, stranger: Client, query: str) -> None:
    assert stranger.get(f"/self-check/?{query}").status_code == 200
    assert stranger.head(f"/self-check/?{query}").status_code == 200


def test_a_visit_keeps_nothing_and_sets_no_cookie(shop: Shop, stranger: Client) -> None:
    stranger.get(f"/self-check/?{TORN}")
    before = {model: model.objects.count() for model in apps.get_models()}
    page = stranger.get(f"/self-check/?{TORN}")
    assert {model: model.objects.count() for model in apps.get_models()} == before
    assert not page.cookies


def test_a_closed_self_check_says_whom_to_call(shop: Shop, stranger: Client) -> None:
    shop.self_check_open = False
    shop.save()
    page = stranger.get(f"/self-check/?{TORN}")
    assert page.status_code == 404
    assert "+1 555 0123" in page.content.decode()
    assert stranger.post("/self-check/asked/", {"kind": "wing"}).status_code == 404
    assert not SelfCheckTally.objects.exists()
