"""The owner's evening in a shop that has just opened, in one of a day, and in one of ten years."""

import re
from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from shoprepair.shop.models import Staff
from shoprepair.shop.weeks import IsoWeek
from tests.browser.conftest import DESK, PHONE, axe_clean
from tests.browser.test_office import SMALL
from tests.office import years

NUMBERS = ".evening-numbers a"
WEEK = IsoWeek.of(timezone.now())
OWN = {"/office/quotes/", "/office/late/", f"/office/money/{WEEK}/", f"/office/bench/{WEEK}/"}
"""The lists that are the office's own; the others are looked at where they belong."""


@pytest.fixture
def owner(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    log_in(people["owner"])
    return people["owner"]


def stands_well(page: Page) -> None:
    """Nothing is shut out, nothing is wider than the screen, everything suits a finger."""
    axe_clean(page)
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, page.url
    assert page.evaluate(SMALL) == [], page.url


def looked_at(page: Page, path: str) -> None:
    """On the phone in the dark, then at the desk by day."""
    for screen, theme in ((PHONE, "dark"), (DESK, "light")):
        page.set_viewport_size(screen)
        page.emulate_media(color_scheme=theme)
        page.goto(path)
        stands_well(page)


def test_a_shop_that_has_just_opened_is_told_what_to_do_next(page: Page, owner: Staff) -> None:
    years.empty()
    looked_at(page, "/office/")

    expect(page.locator(NUMBERS)).to_have_count(0)
    page.get_by_role("link", name="What it charges").click()
    expect(page.get_by_role("heading", name="What do you charge for an hour?")).to_be_visible()
    page.goto("/office/")
    page.get_by_role("link", name="Check in the first wing").click()
    expect(page.get_by_role("heading", name="Who is it?")).to_be_visible()


def test_a_shop_of_a_day_has_a_calm_evening(page: Page, owner: Staff) -> None:
    years.day_old()
    looked_at(page, "/office/")

    expect(page.get_by_text("Nothing. No claim is open")).to_be_visible()
    expect(page.locator(".evening-chart")).to_have_count(0)
    page.get_by_role("link", name="1 quote waits $110.00 sent today").click()
    expect(page.locator(".evening-total")).to_contain_text("1 quote $110.00")
    stands_well(page)


def test_every_number_of_a_shop_of_ten_years_opens_its_list(page: Page, owner: Staff) -> None:
    years.ten_years(jobs=60)
    looked_at(page, "/office/")
    page.get_by_text("The same in figures").click()
    stands_well(page)
    assert page.locator(".evening-week").count() == 8

    first = page.locator(".evening-rows a").first
    expect(first).to_contain_text("Claim")
    assert first.get_attribute("href").endswith("/claim/")

    numbers = [
        (link.locator("b").inner_text(), link.get_attribute("href")) for link in page.locator(NUMBERS).all()
    ]
    page.locator(NUMBERS).first.click()
    expect(page).to_have_url(re.compile("/office/claims/$"))
    lists: dict[str, list[str]] = {}
    for said, address in numbers:
        lists.setdefault(address.partition("#")[0], []).append(said)
    assert lists.keys() > OWN
    for address, says in lists.items():
        page.goto(address)
        for said in says:
            expect(page.locator("main")).to_contain_text(said)
        if address in OWN:
            stands_well(page)
