"""The page that a phone keeps of the self-check, and the worker that keeps it there."""

import gzip
import json
import re

import pytest
from django.conf import settings
from django.template.loader import render_to_string
from django.test import Client

from shoprepair.jobs.advice.rules import RULES
from shoprepair.jobs.advice.verdicts import Verdict
from shoprepair.portal.self_check import tree, words
from shoprepair.portal.self_check.views import offline
from shoprepair.shop.models import Shop
from tests import shelves

pytestmark = pytest.mark.django_db
PAGE, WORKER = "/self-check/offline/", "/self-check/worker.js"

PICTURES = settings.BASE_DIR / "templates" / "portal" / "self_check" / "pictures"


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


def test_every_picture_that_a_step_or_an_answer_names_is_drawn():
    steps = {step.picture for rule in RULES.values() if rule.fix for step in rule.fix.steps}
    rows = (words.KINDS, words.LOOKS, words.LENGTHS, words.FOLDS, words.SOFTENS, words.FARS)
    answers = {said.picture for row in rows for said in row.values()}
    verdicts = {verdict.code for verdict in Verdict}
    for name in (steps | answers | verdicts) - {""}:
        assert "<svg" in render_to_string(f"portal/self_check/pictures/{name}.svg"), name


def test_every_picture_is_small_and_brings_no_style_of_its_own():
    for drawn in PICTURES.glob("*.svg"):
        text = drawn.read_text()
        assert len(text) <= 1500, drawn.name
        assert not re.search("style|<script", text), drawn.name
        assert re.search('viewBox="0 0 96 72".*aria-hidden="true"', text), drawn.name
