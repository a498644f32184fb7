"""The page that a device shows while the line is gone, and the worker that keeps it: nothing of anybody."""

import gzip
import json
import re

import pytest
from django.urls import reverse

from shoprepair.jobs import checkin
from shoprepair.shop.settings import current

pytestmark = pytest.mark.django_db
PAGE, WORKER = "/without-line/", "/line-worker.js"


def about(client) -> dict[str, object]:
    """What the worker is told."""
    return json.loads(re.search(r"self\.line = (.*);", client.get(WORKER).content.decode())[1])


def test_the_page_is_the_same_for_everybody_and_tells_of_nobody(client, counter, stranger):
    checkin.add_customer("Ida Quist", who=counter)
    client.force_login(counter)
    page = client.get(PAGE).content
    assert page == stranger.get(PAGE).content
    assert b"Ida" not in page
    assert b"csrf" not in page
    assert b"data-keeper" not in page


def test_the_page_comes_in_the_language_that_is_asked_for(client):
    page = client.get(PAGE, {"lang": "es"})
    assert page["Content-Language"] == "es"
    assert '<html lang="es">' in page.content.decode()
    assert client.get(PAGE, {"lang": "xx"}).status_code == 200


def test_the_page_weighs_little(client):
    assert len(gzip.compress(client.get(PAGE).content)) < 6_000


def test_the_worker_keeps_one_page_and_what_it_looks_like(client):
    told = about(client)
    assert told["shell"] == PAGE
    assert all(name.startswith("/static/") for name in told["files"])


def test_only_what_changes_its_name_with_its_content_is_kept_for_good(client):
    lasts = re.compile(about(client)["lasting"])
    page = client.get(PAGE).content.decode()
    assert lasts.match(re.search(r'href="(/static/css/[^"]+)"', page)[1])
    for address in (
        "/",
        "/jobs/1/",
        "/photos/abc/small.jpg",
        "/check-in/",
        "/static/img/icon.svg",
        "/bench/jobs/1/",
    ):
        assert not lasts.match(address), address


def test_pages_of_customers_are_left_to_themselves(client):
    others = tuple(about(client)["others"])
    for address in ("/s/abc/", "/c/abc/", "/o/abc/", "/self-check/"):
        assert address.startswith(others)
    for address in ("/", "/jobs/1/", "/bench/", "/check-in/", "/office/", "/search/"):
        assert not address.startswith(others)


def test_the_worker_changes_when_the_page_has_changed(client):
    shop = current()
    before = about(client)["version"]
    assert about(client)["version"] == before
    shop.name = "Another loft"
    shop.save()
    assert about(client)["version"] != before


def test_the_page_names_the_shop_once_it_has_a_name(client):
    page = reverse("without-line")
    assert "Our shop" not in client.get(page).content.decode()
    shop = current()
    shop.name = "Another loft"
    shop.save()
    assert "Another loft</a>" in client.get(page).content.decode()


def test_the_worker_is_asked_for_anew_each_time(client):
    answer = client.get(WORKER)
    assert answer["Cache-Control"] == "no-cache"
    assert answer["Content-Type"].startswith("text/javascript")
