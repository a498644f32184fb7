"""The self-check on a phone that has lost its line: loaded once, it goes on to the same answer."""

import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from shoprepair.gear import everyday
from shoprepair.gear.diagram.regions import regions
from shoprepair.gear.named_places import code_at
from tests.browser.conftest import PHONE, axe_clean

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
KEPT = """async () => {
  const address = "/self-check/offline/?lang=" + document.documentElement.lang;
  while (!navigator.serviceWorker.controller || !await caches.match(address))
    await new Promise((soon) => setTimeout(soon, 50));
}"""


@pytest.fixture
def browser_context_args(browser_context_args: dict[str, object]) -> dict[str, object]:
    own = {"viewport": PHONE, "is_mobile": True, "locale": "en-GB", "service_workers": "allow"}
    return {**browser_context_args, **own}


def seen(page: Page, name: str) -> None:
    """Keep a picture where somebody wants to look: SHOPREPAIR_PICTURES names the folder."""
    if folder := os.environ.get("SHOPREPAIR_PICTURES"):
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)


def reason(page: Page) -> str:
    return " ".join(page.locator(".reason:visible").first.inner_text().split())


def kept_on_the_phone(page: Page, address: str) -> None:
    page.goto(address)
    page.evaluate(KEPT)
    page.context.set_offline(True)


def test_a_visitor_whose_line_drops_walks_on_to_the_answer_that_the_shop_gives(
    page, live_server, patterns, complaints
):
    start = f"{live_server.url}/self-check/"
    page.goto(f"{start}?kind=wing&size=medium&at=canopy-outer&look=torn&length=palm")
    with_a_line = page.locator("h1").inner_text(), reason(page)
    kept_on_the_phone(page, start)
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


def test_what_was_told_exactly_and_before_still_counts_without_a_line(
    page, live_server, patterns, complaints
):
    drawn = everyday.planform("kite-medium")
    outer = next(part for part in regions(drawn) if code_at(drawn, part.x_m, part.y_m) == "front-tip")
    exact = f"kind=kite&size=medium&at={outer.x_m:.2f},{outer.y_m:.2f}&look=cut&length=37"
    burst = "kite_medium_front-centre_burst____"
    kept_on_the_phone(page, f"{live_server.url}/self-check/?lang=de&kind=kite")

    page.goto(f"{live_server.url}/self-check/?lang=de&{exact}")
    expect(page.locator(".verdict:visible")).to_have_attribute("data-verdict", "bring-in")
    expect(page.locator("[data-rule]:visible")).to_have_attribute("data-rule", "cut-too-long")
    expect(page.locator("html")).to_have_attribute("lang", "de")
    expect(page.locator(".ruled-sheet")).to_be_visible()
    seen(page, "offline-cut")

    mild = "kind=kite&size=medium&at=canopy-outer&look=torn&length=nail"
    page.goto(f"{live_server.url}/self-check/enquiry/?lang=de&{mild}&also={burst}")
    expect(page.locator("[data-not-sent]")).to_be_visible()
    expect(page.locator(".verdict:visible")).to_have_attribute("data-verdict", "bring-in")
    rules = page.locator("[data-rule]:visible")
    expect(rules).to_have_count(2)
    expect(rules.first).to_have_attribute("data-rule", "burst")
    expect(page.locator("[data-send]")).to_have_attribute("href", re.compile(f"enquiry/.*also={burst}"))
    seen(page, "offline-two")
    complaints.clear()
