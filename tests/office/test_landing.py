import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs.models import Hold
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


def words(client) -> str:
    return " ".join(client.get(reverse("office")).content.decode().split())


def numbers(page: str) -> dict[str, tuple[int, str]]:
    """Each big number by its label, with the address behind it."""
    found = re.findall(r'<a href="([^"]*)"[^>]*><b class="numeral">(\d+)</b> <span>([^<]*)</span>', page)
    return {label: (int(count), address) for address, count, label in found}


def promised(days: int, **facts: object):
    return JobFactory(promised_on=timezone.localdate() + datetime.timedelta(days=days), **facts)


def test_the_big_numbers_each_open_the_list_behind_them(client):
    promised(5, band="Grounded", urgency=99, rank=1)
    promised(0, hold=Hold.CUSTOMER)
    promised(-2)
    promised(-9, is_open=False, stage="handed-back")

    assert numbers(words(client)) == {
        "open jobs": (3, "/"),
        "grounded": (1, "/?band=Grounded"),
        "late": (1, "#late"),
        "waiting for the customer": (1, "/?hold=customer"),
    }


@pytest.mark.parametrize("query", ["?band=Grounded", "?hold=customer"])
def test_the_rack_understands_the_addresses_of_the_big_numbers(client, query):
    promised(1)
    wanted = promised(1, band="Grounded", hold=Hold.CUSTOMER)
    page = client.get(f"/{query}").content.decode()

    assert re.findall(r'class="row-tag tagnumber"[^>]*>(\d+)<', page) == [str(wanted)]


def test_late_jobs_are_named_the_latest_first(client):
    yesterday, last_week = promised(-1), promised(-7)
    page = words(client)

    assert page.index(f">{last_week}<") < page.index(f">{yesterday}<")
    assert "7 days late" in page
    assert "1 day late" in page
    assert f'href="{yesterday.get_absolute_url()}"' in page


def test_of_many_late_jobs_those_that_wait_longest_are_shown(client):
    for days in range(1, 16):
        promised(-days)

    assert "The 12 that wait longest, of 15." in words(client)


def test_a_calm_shop_says_that_nothing_is_late(client):
    promised(0)

    assert "Nothing is late." in words(client)


@pytest.mark.parametrize("count", [1, 3])
def test_the_first_page_costs_the_same_for_one_as_for_many(client, count, django_assert_num_queries):
    for _ in range(count):
        promised(-1)
    words(client)
    with django_assert_num_queries(16):
        words(client)


def test_every_place_of_the_office_is_a_tap_away(client):
    page = words(client)

    places = ("settings", "load-figures", "people", "patterns", "cloths")
    assert [f'href="{reverse(name)}"' in page for name in places] == [True] * len(places)
