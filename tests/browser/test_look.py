"""Day and night by one tap, at once and for the next page; without a line too."""

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from shoprepair.shop.models import Staff
from tests.browser.conftest import axe_clean

GROUND = "getComputedStyle(document.body).backgroundColor"


@pytest.fixture
def rack(page: Page, people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Page:
    log_in(people["counter"])
    page.goto("/")
    return page


def test_each_tap_changes_the_page_at_once_and_the_button_says_what_comes_next(rack: Page) -> None:
    grounds = [rack.evaluate(GROUND)]
    for following in ("Change to night", "own", "Change to daylight"):
        rack.locator(".bar-look button").click()
        grounds.append(rack.evaluate(GROUND))
        expect(rack.get_by_role("button", name=following)).to_be_focused()
        axe_clean(rack)
    assert grounds[1] == "rgb(255, 255, 255)"
    assert len(set(grounds)) == 3
    assert grounds[3] == grounds[0]


def test_the_next_page_comes_in_the_look_and_so_does_the_bar_of_the_device(rack: Page) -> None:
    rack.locator(".bar-look button").click()
    expect(rack.get_by_role("button", name="Change to night")).to_be_visible()
    assert rack.locator("meta[name=theme-color]").first.get_attribute("content") == "#000"
    rack.goto("/check-in/")
    assert rack.locator("html").get_attribute("data-look") == "day"
    assert rack.evaluate("getComputedStyle(document.documentElement).fontSize") == "17px"


def test_without_a_line_the_look_changes_all_the_same(
    rack: Page, context: BrowserContext, complaints: list[str]
) -> None:
    context.set_offline(True)
    rack.locator(".bar-look button").click()
    expect(rack.locator("html")).to_have_attribute("data-look", "day")
    context.set_offline(False)
    rack.reload()
    expect(rack.locator("html")).to_have_attribute("data-look", "day")
    complaints.clear()


def test_a_device_that_asks_for_more_contrast_has_the_day(rack: Page) -> None:
    rack.emulate_media(contrast="more")
    assert rack.evaluate(GROUND) == "rgb(255, 255, 255)"


def test_by_night_on_paper_it_is_day_all_the_same(rack: Page) -> None:
    rack.locator(".bar-look button").click()
    rack.locator(".bar-look button").click()
    expect(rack.locator("html")).to_have_attribute("data-look", "night")
    rack.emulate_media(media="print")
    assert (
        rack.evaluate("getComputedStyle(document.documentElement).getPropertyValue('--ink').trim()")
        == "#15252b"
    )
