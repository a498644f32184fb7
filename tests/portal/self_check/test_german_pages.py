"""A page in German has no English left on it, whatever makes the words: no text of both is the same."""

import re
from html import unescape

import pytest
from django.test import Client

from tests.shelves import stocked

SAME_IN_BOTH = {"Wing", "Kite", "Our shop", "Español"}
PLACE = "kind=wing&size=medium&at="
ADDRESSES = (
    "",
    "kind=kite",
    "kind=kite&size=unsure",
    "kind=wing&size=medium",
    f"{PLACE}front-tip",
    f"{PLACE}front-tip&look=cut",
    f"{PLACE}front-tip&look=cut&length=nail",
    f"{PLACE}front-tip&look=cut&length=nail&far=far",
    f"{PLACE}strut-centre&look=scrape",
    f"{PLACE}valve&look=soft",
    f"{PLACE}window&look=cloudy",
    f"{PLACE}canopy-outer&look=torn&length=palm&also=wing_medium_front-centre_burst____",
    "kind=wing&size=unsure&at=front-centre&look=cut&length=unsure",
)


@pytest.fixture(autouse=True)
def _catalogue():
    stocked()


@pytest.mark.parametrize("address", ADDRESSES)
def test_no_question_and_no_answer_is_left_half_in_english(client, address):
    assert shared(client, f"/self-check/?{address}") == set()


def test_neither_is_the_enquiry(client):
    assert shared(client, f"/self-check/enquiry/?{PLACE}front-tip&look=cut&length=nail&far=far") == set()


def test_the_mistakes_of_an_enquiry_are_said_in_german(client):
    path = f"/self-check/enquiry/?{PLACE}front-tip&look=cut&length=nail&far=far"
    page = client.get(f"{path}&lang=de").content.decode()
    key = re.search(r'name="key"\s+value="([^"]+)"', page)
    assert key
    said = client.post(f"{path}&lang=de", {"name": "", "contact": "12", "comes": "no", "key": key[1]})
    assert "Schreib deinen Namen" in said.content.decode()
    assert "Diese Telefonnummer kann nicht stimmen" in said.content.decode()


def shared(client: Client, path: str) -> set[str]:
    """The texts that a page has in both languages."""
    english, german = (texts(client, f"{path}&lang={language}") for language in ("en", "de"))
    assert german
    return {text for text in english & german if re.search(r"[^\W\d_]{3}", text)} - SAME_IN_BOTH


def texts(client: Client, path: str) -> set[str]:
    """Every run of words between tags, and every name that only a screen reader says."""
    page = client.get(path)
    assert page.status_code == 200
    html = re.sub(r"<(script|style)\b.*?</\1>", " ", page.content.decode(), flags=re.DOTALL)
    named = re.findall(r'(?:aria-label|title|alt|placeholder)="([^"]+)"', html)
    return {" ".join(unescape(text).split()) for text in (*re.split(r"<[^>]+>", html), *named)}
