"""The owner's catalogue, materials and price rules in a real browser."""

import re
from collections.abc import Callable
from decimal import Decimal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from shoprepair.pricing import catalogue, learning, rules
from shoprepair.pricing.models import Material, Operation
from shoprepair.shop.models import Staff
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.test_office import SMALL
from tests.factories import JobFactory

LONG = "Sew-a-very-long-operations-name-without-any-space-in-it-and-then-a-few-words-more"[:80]


@pytest.fixture
def owner(patterns: None, people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """The owner, logged in to a shop with the catalogue of its first day, some of it measured."""
    catalogue.load()
    tape = Operation.objects.get(code="canopy-tape")
    for minutes in (9, 10, 11, 12, 18):
        learning.measured(JobFactory(), tape, Decimal(10), Decimal(minutes))
    log_in(people["owner"])
    return people["owner"]


def pages() -> list[str]:
    tape, hose = Operation.objects.get(code="canopy-tape"), Material.objects.get(code="hose")
    paths = ["catalogue/", f"catalogue/{tape.pk}/", "catalogue/add/", "materials/", f"materials/{hose.pk}/"]
    return [f"/office/{path}" for path in [*paths, "materials/add/", "price-rules/"]]


@pytest.mark.parametrize(("screen", "theme"), [(TABLET, "light"), (PHONE, "dark")])
def test_no_page_of_the_prices_shuts_anybody_out(
    page: Page, owner: Staff, screen: dict[str, int], theme: str
) -> None:
    Operation.objects.filter(code="canopy-tape").update(name=LONG, active=False)
    Material.objects.filter(code="hose").update(name=LONG[::-1])
    page.set_viewport_size(screen)
    page.emulate_media(color_scheme=theme)
    for path in pages():
        page.goto(path)
        axe_clean(page)
        wider = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wider <= 0, f"{path} is {wider} px wider than the screen"
        assert page.evaluate(SMALL) == [], path


def test_the_catalogue_narrows_while_the_owner_types(page: Page, owner: Staff) -> None:
    page.goto("/office/")
    page.get_by_role("link", name="Catalogue").click()
    page.get_by_label("Find", exact=True).fill("hose")
    expect(page.get_by_role("status")).to_contain_text(re.compile(r"\d of 38 operations"))
    expect(page.get_by_role("link", name="Replace a hose")).to_be_visible()
    expect(page.get_by_role("link", name="Replace a window")).to_have_count(0)
    assert page.url.endswith("?text=hose&area=&use=")
    page.get_by_label("Part").select_option("Canopy")
    expect(page.get_by_role("heading", name="No operation like that")).to_be_visible()


def test_the_owner_sees_what_a_change_would_cost_before_it_is_saved(page: Page, owner: Staff) -> None:
    page.goto("/office/catalogue/")
    page.get_by_role("link", name="Rebuild a burst leading edge").click()
    example = page.locator("#example")
    expect(example).to_contain_text("$230.35")
    page.get_by_label("Set-up").fill("125")
    page.get_by_label("Set-up").press("Tab")
    expect(example).to_contain_text("$242.35")
    assert Operation.objects.get(code="le-burst-rebuild").set_up_minutes == 115

    page.get_by_role("button", name="Save").last.click()
    expect(page.get_by_role("status")).to_contain_text("Saved: Set-up.")
    expect(page.locator(".office-changes")).to_contain_text(re.compile(r"115\smin\s+→.*125\smin"))


def test_return_in_a_figure_saves_the_operation(page: Page, owner: Staff) -> None:
    tape = Operation.objects.get(code="canopy-tape")
    page.goto(f"/office/catalogue/{tape.pk}/")
    page.get_by_label("Set-up").fill("11")
    page.get_by_label("Set-up").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Saved: Set-up.")
    tape.refresh_from_db()
    assert tape.set_up_minutes == 11


def test_a_refused_figure_says_so_and_keeps_what_else_was_typed(
    page: Page, owner: Staff, complaints: list[str]
) -> None:
    page.goto("/office/price-rules/")
    page.get_by_label("Name of the tax").fill("VAT")
    page.get_by_label("Tax", exact=True).fill("200 %")
    page.get_by_role("button", name="Save the rules").last.click()

    expect(page.get_by_role("alert")).to_contain_text(
        "200 % is out of range; write a figure between 0 and 100."
    )
    axe_clean(page)
    expect(page.get_by_label("Name of the tax")).to_have_value("VAT")
    page.get_by_label("Tax", exact=True).fill("19")
    page.get_by_role("button", name="Save the rules").last.click()
    expect(page.get_by_role("status")).to_contain_text("no quote already out is touched")
    assert (rules.current().tax_name, rules.current().tax_percent) == ("VAT", 19)
    assert all("422" in complaint for complaint in complaints)
    complaints.clear()


def test_measured_minutes_are_taken_by_one_button(page: Page, owner: Staff) -> None:
    page.goto(f"/office/catalogue/{Operation.objects.get(code='canopy-tape').pk}/")
    expect(page.get_by_text("from 0.90 to 1.80 times the estimate")).to_be_visible()
    page.get_by_role("button", name="Take these minutes").click()
    expect(page.get_by_role("status")).to_contain_text("Saved: Set-up, Patch.")
    expect(page.get_by_label("Set-up")).to_have_value("9.9")


def test_prices_are_set_without_scripts(
    browser: Browser, context: BrowserContext, owner: Staff, base_url: str
) -> None:
    plain = browser.new_context(
        java_script_enabled=False, base_url=base_url, storage_state=context.storage_state()
    )
    page = plain.new_page()
    page.goto("/office/price-rules/")
    page.get_by_label("Hour of bench work").fill("90,00")
    page.get_by_role("button", name="See the example first").click()
    expect(page.locator("#example")).not_to_contain_text("$119.56")
    expect(page.get_by_label("Hour of bench work")).to_have_value("90,00")
    assert rules.current().hourly_rate == 72
    page.get_by_role("button", name="Save the rules").last.click()
    assert rules.current().hourly_rate == 90

    page.goto("/office/catalogue/?text=hose")
    page.get_by_role("button", name="Switch off Replace a hose").click()
    expect(page.get_by_role("status").first).to_contain_text("Replace a hose is switched off")
    assert not Operation.objects.get(code="hose-replace").active
    plain.close()
