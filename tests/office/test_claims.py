"""The owner's list of claims: what waits and how long, what was decided, and what it cost."""

import datetime
import re
from html import unescape

import pytest
import time_machine
from django.test import Client
from django.utils import timezone

from shoprepair.cover import claims, costs
from shoprepair.cover.models import Claim
from shoprepair.jobs import damages
from shoprepair.office.views import claims as view
from tests.cover.claiming import a_claim, once_covered, the_cover

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def _covered(django_db_setup, django_db_blocker):
    yield from once_covered(django_db_blocker)


@pytest.fixture
def owners(as_person, owner) -> Client:
    return as_person(owner)


def said(client: Client, address: str = "/office/claims/") -> str:
    words = unescape(re.sub(r"<[^>]+>", " ", client.get(address).content.decode()))
    return " ".join(words.split())


def decide(claim: Claim, who, decision: str) -> Claim:
    return claims.decide(claim, decision, "Our patch let go.", who=who, version=claim.version)


def test_a_shop_without_claims_says_so(owners):
    words = said(owners)
    assert "Nothing waits for you." in words
    assert "Decided None yet." in words


def test_what_waits_stands_first_with_its_age_then_what_was_decided_and_its_cost(owners, owner):
    cover = the_cover()
    done = decide(a_claim(cover, owner), owner, "ours")
    waiting = a_claim(cover, owner)
    with time_machine.travel(timezone.now() + datetime.timedelta(days=12), tick=True):
        owners.force_login(owner)
        words = said(owners)
    assert re.search(r"To decide 1 0002 .*12 days proposed: Ours Decided 1 0001", words)
    assert waiting.number == 2
    cost = f"${costs.of(done):.2f}"
    assert f"{cover.operation_name} few {cost} 1 2 1" in words
    assert cover.techs[0] in said(owners, "/office/claims/?by=tech")
    assert "Operation Cost" in said(owners, "/office/claims/?by=nonsense")


def test_a_claim_about_a_damage_taken_off_is_not_lost(owners, owner):
    claim = a_claim(the_cover(), owner)
    damages.remove(claim.damage, owner)
    words = said(owners)
    assert "Nothing waits for you." in words
    assert "1 about damage taken off since" in words


def test_decided_claims_come_in_pages_at_the_same_cost(owners, owner, monkeypatch, django_assert_num_queries):
    for _ in range(2):
        decide(a_claim(the_cover(), owner), owner, "new")
    said(owners)
    with django_assert_num_queries(9):
        both = said(owners)
    monkeypatch.setattr(view, "A_PAGE", 1)
    assert "page 1 of 2 Older" in said(owners)
    assert "Newer page 2 of 2" in said(owners, "/office/claims/?page=99")
    with django_assert_num_queries(9):
        said(owners, "/office/claims/?page=x")
    assert "0002" in both
