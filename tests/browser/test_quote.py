"""From a burst to a quote that is out, in a real browser: on the tablet, on a phone, and without scripts."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from shoprepair.gear.models import Pattern
from shoprepair.jobs import checkin, damages, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import catalogue, quotes
from shoprepair.pricing.models import Quote
from shoprepair.shop.models import Letter, Staff
from shoprepair.shop.units import Typed
from tests.browser.conftest import PHONE, TABLET, axe_clean

pytestmark = pytest.mark.usefixtures("patterns")


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the counter, logged in."""
    log_in(people["counter"])
    return people["counter"]


@pytest.fixture
def job(counter: Staff) -> Job:
    """A wing that burst beside the centre strut, with a cut further out; assessed."""
    catalogue.load()
    customer = checkin.add_customer("Oda Tveit", who=counter, phone="+1 555 0134", email="oda@example.org")
    wing = Pattern.objects.get(name="Holm 5.0 wing")
    gear = checkin.add_inflatable(customer, wing, who=counter, bought_year=2024)
    made = checkin.start(customer, gear, who=counter)
    damages.answer(damages.pin(made, 0.3, 0.02, who=counter), who=counter, kind="burst")
    cut = damages.pin(made, 0.9, 0.2, who=counter)
    length = Typed(0.035, "35 mm")
    damages.answer(cut, who=counter, kind="cut", length=length, direction="around", through_bladder="no")
    checkin.agree_terms(made, who=counter)
    for step in (Stage.CHECKED_IN, Stage.ASSESSED):
        stages.move(made, step, who=counter)
    return made


@pytest.fixture
def draft(job: Job, counter: Staff) -> Quote:
    return quotes.draft(job, who=counter)


def fits(page: Page) -> None:
    """Nothing sticks out to the side."""
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def line(page: Page, text: str) -> Locator:
    return page.locator(".line").filter(has_text=text)


def test_a_burst_becomes_a_quote_that_is_out(page: Page, job: Job) -> None:
    page.goto(job.get_absolute_url())
    page.locator(".job-next").get_by_role("link").tap()
    page.get_by_role("link", name="Look at the repairs first").tap()

    burst = page.locator("#damage-1")
    expect(burst.get_by_role("heading", name="Rebuild a burst leading edge")).to_be_visible()
    expect(burst.locator("svg.patch").first).to_be_visible()
    expect(page.locator("#openings")).to_contain_text("of the closing seam")
    axe_clean(page)

    page.get_by_role("link", name="Go on to the quote").tap()
    page.get_by_role("button", name="Draft the quote").tap()
    expect(page.get_by_role("heading", name="Quote 1", exact=True)).to_be_visible()
    expect(page.locator("#worth")).to_contain_text("of what the gear is worth today")
    axe_clean(page)

    page.get_by_role("link", name="Send the quote").tap()
    expect(page.get_by_text("An e-mail goes to oda@example.org")).to_be_visible()
    axe_clean(page)
    page.get_by_role("button", name="Send it now").tap()

    expect(page.locator(".quote-head .quote-state")).to_contain_text("Out since")
    expect(page.get_by_label("The customer’s page")).to_have_value(re.compile(r"/s/[\w-]{43}/$"))
    axe_clean(page)
    job.refresh_from_db()
    assert job.stage == Stage.QUOTE_OUT
    assert Letter.objects.get().to == "oda@example.org"


def test_a_line_is_changed_in_its_place_removed_and_put_back(page: Page, job: Job, draft: Quote) -> None:
    page.goto(f"{job.get_absolute_url()}quote/")
    before = page.locator(".quote-total .amount").inner_text()

    line(page, "Sew a small patch").get_by_role("link", name="Correct").tap()
    page.get_by_label("Amount", exact=True).first.fill("120,50")
    axe_clean(page)
    page.get_by_role("button", name="Keep the line").tap()
    expect(line(page, "Sew a small patch").locator(".line-amount")).to_have_text("$120.50")
    expect(page.locator(".quote-total .amount")).not_to_have_text(before)

    line(page, "Sew a small patch").get_by_role("button", name="Remove").tap()
    expect(page.locator(".line").filter(has_text="Sew a small patch")).to_have_count(0)
    page.get_by_role("button", name="Put it back").tap()
    expect(line(page, "Sew a small patch").locator(".line-amount")).to_have_text("$120.50")


def test_a_wrong_amount_is_said_where_it_was_typed(
    page: Page, job: Job, draft: Quote, complaints: list[str]
) -> None:
    page.goto(f"{job.get_absolute_url()}quote/")
    page.get_by_text("In your own words").tap()
    page.get_by_label("What it is").fill("Courier")
    page.locator("#id_own-amount").fill("-5")
    page.get_by_role("button", name="Add the line").tap()

    expect(page.get_by_text("An amount cannot be below nought.")).to_be_visible()
    expect(page.get_by_label("What it is")).to_have_value("Courier")
    page.locator("#id_own-amount").fill("5")
    page.get_by_role("button", name="Add the line").tap()
    expect(line(page, "Courier")).to_be_visible()
    complaints.clear()  # the browser notes the 422 by itself


def test_who_comes_second_sees_what_changed_and_still_has_what_was_typed(
    page: Page, job: Job, draft: Quote, people: dict[str, Staff], complaints: list[str]
) -> None:
    page.goto(f"{job.get_absolute_url()}quote/")
    line(page, "Sew a small patch").get_by_role("link", name="Correct").tap()
    page.get_by_label("Amount", exact=True).first.fill("155")
    patch = draft.lines.get(text__startswith="Sew a small patch")
    quotes.change_line(draft, patch, who=people["bench"], version=draft.version, amount=140)

    page.get_by_role("button", name="Keep the line").tap()

    expect(page.get_by_role("alert").filter(has_text="to $140.00")).to_be_visible()
    expect(page.get_by_label("Amount", exact=True).first).to_have_value("155")
    page.get_by_role("button", name="Keep the line").tap()
    expect(line(page, "Sew a small patch").locator(".line-amount")).to_have_text("$155.00")
    complaints.clear()


def test_a_weak_layup_says_by_how_much(page: Page, job: Job, complaints: list[str]) -> None:
    page.goto(f"{job.get_absolute_url()}repairs/")
    page.locator("#damage-2").get_by_role("link", name="Open the lay-up").tap()
    expect(page.get_by_role("heading", name="Change the lay-up")).to_be_visible()
    axe_clean(page)
    page.get_by_label("Rows of stitches").fill("1")
    page.get_by_label("Stitch length").fill("6 mm")
    page.get_by_role("button", name="Keep this lay-up").tap()

    expect(page.get_by_role("alert").filter(has_text="too weak here")).to_be_visible()
    expect(page.get_by_label("Stitch length")).to_have_value("6 mm")
    axe_clean(page)
    complaints.clear()


def test_on_the_phone_the_customers_choice_changes_the_total_before_the_yes(
    page: Page, job: Job, draft: Quote, counter: Staff
) -> None:
    quotes.send(draft, who=counter, version=draft.version, base_url="https://loft.example")
    page.set_viewport_size(PHONE)
    page.goto(f"{job.get_absolute_url()}quote/")
    fits(page)
    page.get_by_role("link", name="Record the customer’s answer").tap()
    yes = page.get_by_role("button", name=re.compile("^Yes, for"))
    before = yes.inner_text()

    page.get_by_role("checkbox").first.uncheck()
    expect(yes).not_to_have_text(before)
    fits(page)
    axe_clean(page)
    agreed = yes.inner_text().removeprefix("Yes, for ")
    yes.tap()

    expect(page.locator(".quote-head .quote-state")).to_contain_text("Accepted by Oda Tveit")
    expect(page.locator(".quote-total .amount")).to_have_text(agreed)
    job.refresh_from_db()
    assert job.stage == Stage.GO_AHEAD


def test_forty_damages_stay_within_every_screen(page: Page, job: Job, counter: Staff) -> None:
    for n in range(12):
        tear = damages.pin(job, 0.3 + 0.05 * n, 0.4, who=counter)
        damages.answer(tear, who=counter, kind="tear", length=Typed(0.1, "100 mm"))
    quotes.draft(job, who=counter)
    for size in (PHONE, TABLET):
        page.set_viewport_size(size)
        for where in ("repairs/", "quote/", ""):
            page.goto(f"{job.get_absolute_url()}{where}")
            fits(page)


def test_without_scripts_everything_goes_by_pages(
    browser: Browser, base_url: str, job: Job, context, counter: Staff
) -> None:
    plain = browser.new_context(java_script_enabled=False, viewport=TABLET, base_url=base_url)
    plain.add_cookies(context.cookies())
    page = plain.new_page()
    page.goto(f"{job.get_absolute_url()}quote/")
    page.get_by_role("button", name="Draft the quote").click()

    line(page, "Sew a small patch").get_by_role("link", name="Correct").click()
    page.get_by_label("Amount", exact=True).first.fill("99")
    page.get_by_role("button", name="Keep the line").click()
    expect(line(page, "Sew a small patch").locator(".line-amount")).to_have_text("$99.00")

    line(page, "Sew a small patch").get_by_role("button", name="Remove").click()
    page.get_by_role("button", name="Put it back").click()
    expect(line(page, "Sew a small patch")).to_be_visible()

    page.get_by_role("link", name="Send the quote").click()
    page.get_by_role("button", name="Send it now").click()
    page.get_by_role("link", name="Record the customer’s answer").click()
    page.get_by_role("checkbox").first.uncheck()
    page.get_by_role("button", name="Show the total of these").click()
    page.get_by_role("button", name=re.compile("^Yes, for")).click()
    expect(page.locator(".quote-head .quote-state")).to_contain_text("Accepted by Oda Tveit")
    plain.close()
