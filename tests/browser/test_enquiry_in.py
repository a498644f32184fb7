"""From an enquiry to the counter in a real browser: on the rack, checked in, found to be otherwise."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shoprepair.gear.models import Pattern
from shoprepair.jobs import checkin, damages
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.enquiries.making import send
from shoprepair.jobs.models import Job, Stage
from shoprepair.shop.models import Staff
from tests.browser.conftest import axe_clean
from tests.browser.counter_work import Hands, expect_kept

pytestmark = pytest.mark.usefixtures("patterns")
CUT = Told(
    kind="wing", size="medium", at="front-centre", look="cut", length="coin", fold="untried", far="home"
)


@pytest.fixture
def asked(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Job:
    """Jorunn, who was here before with a kite, asks from outside about a wing."""
    log_in(people["counter"])
    known = checkin.add_customer("Jorunn Havelaar", who=people["counter"], phone="+1 555 0134")
    kite = Pattern.objects.get(name="Skarv 9 kite")
    checkin.add_inflatable(known, kite, who=people["counter"], serial="SK-00071")
    words = "It hit a pier at low tide."
    return send([CUT], name="J. Havelaar", contact="001 555 0134", words=words, comes="by-post", key="k1").job


def test_what_was_told_outside_is_checked_in_as_known_and_found_to_be_otherwise(
    page: Page, asked: Job
) -> None:
    hands = Hands(page)
    page.goto("/")
    row = page.locator("#not-here .row")
    expect(row).to_contain_text("We said: Do not inflate it; bring it in")
    expect(row).to_contain_text("comes by post")
    hands.tap(row.get_by_role("link", name=re.compile("^Check in")))

    told = page.locator("#asked")
    expect(told).to_contain_text("It hit a pier at low tide.")
    axe_clean(page)
    hands.tap(told.get_by_role("button", name="It is Jorunn Havelaar"))
    expect(page.locator(".check-gear")).to_contain_text("Jorunn Havelaar")

    hands.tap(page.locator("#asked").get_by_role("link", name="Choose the model"))
    hands.tap(page.get_by_role("radio", name="Holm 5.0 wing"))
    hands.tap(page.get_by_role("button", name="Keep the model"))
    expect(page.locator(".check-gear")).to_contain_text("Holm 5.0 wing")
    expect(page.locator("#asked")).not_to_contain_text("Choose the model")

    panel = page.locator("#panel")
    expect(panel).to_contain_text(re.compile(r"The customer said.*Cut, up to 25\smm"))
    hands.say("What is it?", "seam opened")
    page.get_by_label(re.compile("Length")).first.fill("80 mm")
    page.get_by_label(re.compile("Length")).first.press("Tab")
    expect_kept(page, 1, "80 mm")
    expect(panel).to_contain_text("The customer said")
    hands.tap(page.get_by_role("checkbox", name=re.compile("agrees")))
    hands.tap(page.get_by_role("button", name=re.compile("^Check in and print")))
    expect(page.get_by_role("heading", name=f"Job {asked} is checked in")).to_be_visible()

    asked.refresh_from_db()
    (damage,) = damages.live(asked)
    assert (asked.stage, asked.customer.name) == (Stage.CHECKED_IN, "Jorunn Havelaar")
    assert (damage.kind, damage.length_typed) == ("seam opened", "80 mm")
    assert damage.told["words"].startswith("Cut, up to 25 mm")
