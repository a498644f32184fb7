"""A shop from nothing to its first check-in: at a desk by the keyboard, on a tablet and a phone by taps."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from shoprepair.gear.models import Pattern
from shoprepair.pricing import rules
from shoprepair.pricing.models import Material, Operation
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from tests import shelves
from tests.browser.conftest import DESK, PHONE, axe_clean

PASSWORD = "wet sand on the quay"
STEPS = ("shop", "prices", "pattern", "people", "tag")


@pytest.fixture
def nobody(transactional_db: None) -> None:
    """A shop in which nobody works yet."""
    Staff.objects.all().delete()


@pytest.fixture
def owner(people: dict[str, Staff], patterns: None, log_in: Callable[[Staff], None]) -> Staff:
    shelves.stocked()
    log_in(people["owner"])
    return people["owner"]


def open_the_shop(page: Page) -> None:
    """The one page of a shop without an owner, in English."""
    page.goto("/")
    page.get_by_role("radio", name="English").check(force=True)
    for name, text in [
        ("shop_name", "Northquay Loft"),
        ("name", "Ingrid Falk"),
        ("username", "ingrid"),
        ("password", PASSWORD),
        ("again", PASSWORD),
    ]:
        page.locator(f"[name={name}]").fill(text)
    page.locator("[name=again]").press("Enter")
    expect(page).to_have_url(re.compile("/set-up/shop/$"))


@pytest.mark.usefixtures("nobody")
def test_at_a_desk_return_goes_from_step_to_step_and_each_leaves_what_is_usual(
    browser: Browser, base_url: str
) -> None:
    context = browser.new_context(base_url=base_url, viewport=DESK, locale="nb-NO", timezone_id="Europe/Oslo")
    page = context.new_page()
    open_the_shop(page)

    expect(page.get_by_label("Phone")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/set-up/prices/$"))
    shop = current()
    assert (shop.currency, shop.time_zone, shop.paper, shop.pressure_unit) == (
        "NOK",
        "Europe/Oslo",
        "A4",
        "bar",
    )

    expect(page.get_by_label("One hour at the bench")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/set-up/pattern/$"))
    assert rules.current().hourly_rate == 720
    assert Operation.objects.filter(active=True).count() >= 30
    assert Material.objects.order_by("-price")[0].price == 880

    expect(page.get_by_role("radio", name="The library is enough")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/set-up/people/$"))

    expect(page.get_by_label("Name", exact=True).first).to_be_focused()
    page.keyboard.type("Jonas Aas")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/set-up/tag/$"))
    expect(page.get_by_role("radio", name="Label roll, 62 mm")).to_be_focused()
    assert Staff.objects.get(username="jonas").role == "bench"

    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="The shop is set up")).to_be_visible()
    expect(page.locator(".evening-done")).to_have_count(5)

    page.get_by_role("link", name="Check in the first wing").click()
    expect(page).to_have_url(re.compile("/check-in/$"))
    context.close()


def test_six_figures_are_drawn_while_they_are_typed(page: Page, owner: Staff) -> None:
    page.goto("/office/set-up/pattern/")
    expect(page.get_by_label("What it says on it")).to_be_hidden()
    page.get_by_role("radio", name="Draw the one that comes in most").check(force=True)
    page.get_by_label("What it says on it").fill("Gull 4.2 wing")
    page.get_by_label("Struts").fill("5")
    page.get_by_label("Struts").press("Tab")
    expect(page.locator("#drawn svg")).to_have_count(1)
    page.get_by_label("Struts").fill("4")
    page.get_by_label("Struts").press("Tab")
    expect(page.locator("#drawn")).to_contain_text("odd in number")

    page.get_by_label("Struts").fill("5")
    page.get_by_role("button", name="Save and go on").click()
    expect(page.get_by_role("status")).to_have_text("Gull 4.2 wing is in the library.")
    assert Pattern.objects.get(name="Gull 4.2 wing").tubes.filter(kind="strut").count() == 3


def test_another_country_fills_in_its_own_and_the_rate_moves_the_examples(page: Page, owner: Staff) -> None:
    page.goto("/office/set-up/shop/")
    page.get_by_label("Phone").fill("+1 000")
    page.get_by_label("Country").select_option("US")
    expect(page.get_by_role("radio", name="Letter")).to_be_checked()
    expect(page.get_by_label("Phone")).to_have_value("+1 000")
    page.get_by_role("button", name="Save and go on").click()

    before = page.locator("#examples dd").first.inner_text()
    page.get_by_label("One hour at the bench").fill("300")
    page.get_by_label("One hour at the bench").press("Tab")
    expect(page.locator("#examples dd").first).not_to_have_text(before)


@pytest.mark.parametrize("step", STEPS)
def test_every_step_fits_a_phone_and_breaks_no_rule(page: Page, owner: Staff, step: str) -> None:
    page.goto(f"/office/set-up/{step}/")
    axe_clean(page)
    page.set_viewport_size(PHONE)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    axe_clean(page)


def test_without_scripts_the_shop_is_set_up_by_forms_alone(
    browser: Browser, base_url: str, nobody: None
) -> None:
    context = browser.new_context(base_url=base_url, java_script_enabled=False, locale="de-AT")
    page = context.new_page()
    open_the_shop(page)
    for _ in STEPS:
        page.locator(".set-up-on .is-primary").click()
    expect(page.locator(".evening-done")).to_have_count(5)
    assert current().currency == "EUR"
    context.close()
