"""The page that a phone keeps of the self-check, and the worker that keeps it there."""

import gzip
import json
import re

import pytest
from django.test import Client

from shoprepair.jobs.advice.rules import RULES
from shoprepair.portal.self_check import tree
from shoprepair.portal.self_check.views import offline
from shoprepair.shop.models import Shop
from tests import shelves

pytestmark = pytest.mark.django_db
PAGE, WORKER = "/self-check/offline/", "/self-check/worker.js"


@pytest.fixture(autouse=True)
def _patterns(shop: Shop) -> None:
    shelves.patterns()


def about(client: Client) -> dict[str, object]:
    """What the worker is told."""
    text = client.get(WORKER).content.decode()
    return json.loads(re.search(r"selfCheck = (.*);", text)[1])


def test_the_kept_page_holds_every_answer_that_can_be_given_and_the_shops_phone(stranger, shop):
    page = stranger.get(PAGE).content.decode()
    given = {end.rule for end in tree.tree().outcomes}
    assert given <= set(RULES)
    assert set(re.findall(r'data-rule="([^"]+)"', page)) == given
    assert shop.phone in page


def test_the_kept_page_comes_in_the_visitors_language(stranger):
    page = stranger.get(PAGE, headers={"accept-language": "de-AT"})
    assert page.headers["Content-Language"] == "de"
    assert '<html lang="de">' in page.content.decode()


def test_the_kept_page_weighs_little_on_the_line(stranger):
    assert len(gzip.compress(stranger.get(PAGE).content)) < 60_000


def test_the_worker_keeps_the_page_and_its_looks_and_nothing_of_anybody(stranger):
    told = about(stranger)
    assert told["offline"] == PAGE
    assert all(name.startswith("/static/") for name in told["files"])
    assert told["enquiry"] not in told["files"]


def test_the_worker_changes_when_what_it_keeps_has_changed(stranger, shop):
    before = about(stranger)["version"]
    assert about(stranger)["version"] == before
    shop.phone = "+1 555 0199"
    shop.save()
    assert about(stranger)["version"] != before


def test_two_servers_write_the_kept_page_alike_so_that_phones_do_not_load_it_twice(stranger):
    first = stranger.get(PAGE).content
    offline.forget()
    assert stranger.get(PAGE, {"lang": "en", "kind": "kite"}).content == first


def test_a_closed_self_check_gives_phones_nothing_to_keep(stranger, shop):
    shop.self_check_open = False
    shop.save()
    assert stranger.get(PAGE).status_code == 404
    assert stranger.get(WORKER).status_code == 404
