"""The self-check on a phone that has lost its line: loaded once, it goes on to the same answer."""

import os
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, axe_clean

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
THREE_TORN = "kind=wing&size=small&at=front-tip&look=cut&length=37"


@pytest.fixture
def browser_context_args(browser_context_args: dict[str, object]) -> dict[str, object]:
    return {**browser_context_args, "viewport": PHONE, "is_mobile": True, "locale": "en-GB"}


def seen(page: Page, name: str) -> None:
    """Keep a picture where somebody wants to look: SHOPREPAIR_PICTURES names the folder."""
    if folder := os.environ.get("SHOPREPAIR_PICTURES"):
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)


def reason(page: Page) -> str:
    return " ".join(page.locator(".reason:visible").first.inner_text().split())


def test_a_visitor_whose_line_drops_walks_on_to_the_answer_that_the_shop_gives(
    page, live_server, patterns, context, complaints
):
    start = f"{live_server.url}/self-check/"
    page.goto(f"{start}?kind=wing&size=medium&at=canopy-outer&look=torn&length=palm")
    with_a_line = page.locator("h1").inner_text(), reason(page)
    page.goto(start)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    context.set_offline(True)
    page.get_by_role("link", name="Wing").tap()
    expect(page.get_by_text("No signal")).to_be_visible()
    axe_clean(page)
    seen(page, "offline-size")
    page.locator("[data-answer=medium]:visible").tap()
    seen(page, "offline-place")
    page.get_by_role("link", name="Cloth, further out").last.tap()
    page.locator("[data-answer=torn]:visible").tap()
    page.locator("[data-answer=palm]:visible").tap()
    expect(page.locator("h1:visible")).to_have_text(with_a_line[0])
    assert reason(page) == with_a_line[1]
    axe_clean(page)
    seen(page, "offline-answer")
    complaints.clear()
