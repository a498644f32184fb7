"""Whoever goes by keys alone is nowhere trapped, and passes the bar at one stroke."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from shoprepair.pricing import catalogue
from shoprepair.shop.models import Staff
from tests.browser.by_keyboard import Keyboard
from tests.browser.visits import visit

pytestmark = pytest.mark.usefixtures("patterns")


def test_nobody_is_trapped_and_the_bar_is_passed_at_one_stroke(
    page: Page, people: dict[str, Staff], log_in: Callable[[Staff], None]
) -> None:
    catalogue.load()
    job = visit(people["owner"], "Oda Tveit")
    log_in(people["owner"])
    hands = Keyboard(page)
    for where, at_least in {
        "/": 15,
        "/check-in/": 2,  # It begins in its field.
        f"/jobs/{job.number}/check-in/": 25,
        job.get_absolute_url(): 25,
        f"{job.get_absolute_url()}quote/": 8,
        "/bench/": 8,
        "/office/": 20,
        "/office/people/add/": 12,
    }.items():
        hands.go(where)
        assert hands.round() >= at_least, where
        hands.skip()
