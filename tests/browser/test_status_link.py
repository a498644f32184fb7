"""A customer answers a quote on the phone, without an account, with and without scripts."""

from collections import Counter
from decimal import Decimal
from io import BytesIO
from typing import Literal

import pytest
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect

from shoprepair.jobs import conversation, links
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.models import Quote
from tests.browser.conftest import PHONE, axe_clean
from tests.browser.visits import visit
from tests.factories import QuoteFactory, QuoteLineFactory

LINES = (
    {"text": "Casing patch, two plies", "amount": Decimal("84.00"), "damages": [1]},
    {"text": "Open the closing seam", "amount": Decimal("58.55"), "kind": "access", "damages": [1, 2]},
    {"text": "Bladder patch", "amount": Decimal("24.00"), "choice": "bladder"},
    {"text": "A new bladder", "amount": Decimal("139.00"), "choice": "bladder", "taken": False},
    {"text": "Wash and dry", "amount": Decimal("22.00"), "optional": True},
    {"text": "Canopy tape", "amount": Decimal("18.35"), "optional": True},
)


ALL_IT_FINDS = "button, input[type=submit], a[href^='/'], a[href^='#']"


@pytest.fixture
def browser_context_args(browser_context_args: dict[str, object]) -> dict[str, object]:
    return {**browser_context_args, "viewport": PHONE, "is_mobile": True, "device_scale_factor": 2}


@pytest.fixture
def quote(people, patterns) -> Quote:
    """A cut in a wing, and a quote for it with a choice and two lines to leave out."""
    job = visit(people["owner"], "Ilka Sandvoort", stage=Stage.ASSESSED)
    draft = QuoteFactory(
        job=job,
        tax_percent=Decimal("8.25"),
        discount_percent=Decimal("5"),
        minimum_charge=Decimal("120"),
        deposit_percent=Decimal("30"),
        deposit_from=Decimal("150"),
    )
    for line in LINES:
        QuoteLineFactory(quote=draft, **line)
    return quotes.send(draft, who=people["owner"], version=draft.version, base_url="https://loft.example")


def page_of(job: Job) -> str:
    link = links.current(job)
    assert link is not None
    return links.path(link)


def said(quote: Quote, without: tuple[str, ...] = ()) -> str:
    """The total as the shop reckons it, with what is advised and without these lines."""
    taken = {line.pk for line in quote.lines.all() if line.taken and line.text not in without}
    return f"${totals.of(quote, taken).total:,.2f}"


def test_a_customer_reads_unticks_and_accepts_by_name(page: Page, quote: Quote) -> None:
    page.goto(page_of(quote.job))
    expect(page.get_by_role("heading", name="May it be used meanwhile?")).to_be_visible()
    expect(page.get_by_role("button", name="Work out the total")).to_have_count(0)
    expect(page.get_by_role("button", name=f"Accept for {said(quote)}")).to_be_visible()
    axe_clean(page)
    page.get_by_label("Wash and dry").uncheck()
    less = said(quote, without=("Wash and dry",))
    assert less != said(quote)
    page.get_by_label("Your name").first.fill("Ilka Sandvoort")
    page.get_by_role("button", name=f"Accept for {less}").click()
    expect(page.get_by_text(f"Agreed: {less}")).to_be_visible()
    expect(page.get_by_text("You said yes.")).to_be_visible()
    axe_clean(page)
    quote.refresh_from_db()
    assert (quote.state, quote.answered_name) == ("accepted", "Ilka Sandvoort")
    assert Job.objects.get().stage == Stage.GO_AHEAD
    assert {line["text"] for line in quote.agreed["lines"] if not line["taken"]} == {
        "A new bladder",
        "Wash and dry",
    }


def test_the_total_on_the_phone_is_the_shop_s_own_for_every_way_to_choose(page: Page, quote: Quote) -> None:
    page.goto(page_of(quote.job))
    for bladder in ("Bladder patch", "A new bladder"):
        for wash in (True, False):
            for tape in (True, False):
                page.get_by_label(bladder).check()
                page.get_by_label("Wash and dry").set_checked(wash)
                page.get_by_label("Canopy tape").set_checked(tape)
                chosen = {"Wash and dry": wash, "Canopy tape": tape, bladder: True}
                taken = {line.pk for line in quote.lines.all() if chosen.get(line.text)}
                reckoned = totals.of(quote, taken)
                expect(page.locator("[data-sum=total] dd")).to_have_text(f"${reckoned.total:,.2f}")
                expect(page.locator("[data-sum=tax] dd")).to_have_text(f"${reckoned.tax:,.2f}")
                expect(page.locator("[data-sum=discount] dd")).to_have_text(f"−${reckoned.discount:,.2f}")
                deposit = page.locator("[data-sum=deposit]")
                expect(deposit).to_be_visible(visible=bool(reckoned.deposit))
                assert page.locator("[data-total-shown]").input_value() == str(reckoned.total)


def test_enter_in_the_name_s_field_accepts_what_is_shown(page: Page, quote: Quote) -> None:
    page.goto(page_of(quote.job))
    page.get_by_label("Your name").first.fill("Ilka Sandvoort")
    page.get_by_label("Your name").first.press("Enter")
    expect(page.get_by_text(f"Agreed: {said(quote)}")).to_be_visible()


def test_going_back_after_accepting_shows_the_recorded_answer(page: Page, quote: Quote) -> None:
    page.goto(page_of(quote.job))
    page.get_by_label("Your name").first.fill("Ilka Sandvoort")
    page.get_by_role("button", name="Accept for").click()
    expect(page.get_by_text("Agreed:")).to_be_visible()
    page.go_back()
    expect(page.get_by_text("Agreed:")).to_be_visible()
    expect(page.get_by_role("button", name="Accept for")).to_have_count(0)


def test_declining_takes_a_second_step(page: Page, quote: Quote) -> None:
    page.goto(page_of(quote.job))
    decline = page.get_by_role("button", name="Yes, decline the whole quote")
    expect(decline).to_be_hidden()
    page.get_by_text("Decline the quote").click()
    axe_clean(page)
    page.locator("#decline-name").fill("Ilka Sandvoort")
    decline.click()
    expect(page.get_by_text("You declined the quote.")).to_be_visible()
    assert Job.objects.get().stage == Stage.DECLINED
    axe_clean(page)


def test_a_question_goes_to_the_shop_and_its_answer_comes_to_the_page(
    page: Page, quote: Quote, people
) -> None:
    page.goto(page_of(quote.job))
    page.get_by_label("Your question").fill("Can it be ready before the long weekend?")
    page.locator("#question-name").fill("Ilka")
    page.get_by_role("button", name="Ask the shop").click()
    expect(page.get_by_text("Can it be ready before the long weekend?")).to_be_visible()
    conversation.reply(quote.job, who=people["bench"], text="Yes, on Thursday.")
    page.reload()
    expect(page.get_by_text("Yes, on Thursday.")).to_be_visible()
    expect(page.locator("#question-name")).to_have_value("Ilka")


def test_a_page_left_open_while_a_newer_quote_is_sent_shows_that_one(
    page: Page, quote: Quote, people, complaints: list[str]
) -> None:
    page.goto(page_of(quote.job))
    newer = quotes.revise(quote, who=people["owner"])
    quotes.send(newer, who=people["owner"], version=newer.version, base_url="https://loft.example")
    page.get_by_label("Your name").first.fill("Ilka Sandvoort")
    page.get_by_role("button", name="Accept for").click()
    expect(page.get_by_role("alert")).to_contain_text("The shop has sent a newer quote")
    expect(page.get_by_label("Your name").first).to_have_value("Ilka Sandvoort")
    axe_clean(page)
    complaints.clear()
    page.get_by_role("button", name="Accept for").click()
    expect(page.get_by_text("Agreed:")).to_be_visible()


def test_a_withdrawn_link_says_whom_to_call(page: Page, quote: Quote, people, complaints: list[str]) -> None:
    path = page_of(quote.job)
    links.withdraw(links.current(quote.job), who=people["owner"])
    page.goto(path)
    expect(page.get_by_role("heading", name="This link no longer works")).to_be_visible()
    axe_clean(page)
    complaints.clear()


@pytest.fixture
def plain(browser: Browser, browser_context_args: dict[str, object]) -> Page:
    """The phone with its scripts switched off."""
    context: BrowserContext = browser.new_context(**{**browser_context_args, "java_script_enabled": False})
    yield context.new_page()
    context.close()


def test_a_customer_accepts_without_scripts(plain: Page, quote: Quote) -> None:
    plain.goto(page_of(quote.job))
    plain.get_by_label("Wash and dry").uncheck()
    plain.get_by_label("Your name").first.fill("Ilka Sandvoort")
    plain.get_by_role("button", name="Work out the total").click()
    less = said(quote, without=("Wash and dry",))
    expect(plain.get_by_role("button", name=f"Accept for {less}")).to_be_visible()
    expect(plain.get_by_label("Wash and dry")).not_to_be_checked()
    expect(plain.get_by_label("Your name").first).to_have_value("Ilka Sandvoort")
    plain.get_by_role("button", name=f"Accept for {less}").click()
    expect(plain.get_by_text(f"Agreed: {less}")).to_be_visible()
    assert Job.objects.get().stage == Stage.GO_AHEAD


@pytest.mark.parametrize(("light", "cloth"), [("light", (251, 248, 240)), ("dark", (28, 42, 48))])
def test_without_scripts_the_gear_is_drawn_in_the_colours_of_the_page(
    plain: Page, quote: Quote, light: Literal["light", "dark"], cloth: tuple[int, int, int]
) -> None:
    plain.emulate_media(color_scheme=light)
    plain.goto(page_of(quote.job), wait_until="networkidle")
    with Image.open(BytesIO(plain.locator("svg.diagram").screenshot())) as seen:
        colours = Counter(seen.convert("RGB").get_flattened_data())
    assert colours[cloth] > 0.1 * colours.total()


def test_without_scripts_a_total_not_worked_out_comes_back_right(plain: Page, quote: Quote) -> None:
    plain.goto(page_of(quote.job))
    plain.get_by_label("Canopy tape").uncheck()
    plain.get_by_label("Your name").first.fill("Ilka Sandvoort")
    plain.get_by_role("button", name=f"Accept for {said(quote)}").click()
    less = said(quote, without=("Canopy tape",))
    expect(plain.get_by_role("alert")).to_contain_text(f"What you chose comes to {less}.")
    assert Quote.objects.get().state == "out"
    plain.get_by_role("button", name=f"Accept for {less}").click()
    expect(plain.get_by_text(f"Agreed: {less}")).to_be_visible()


def test_a_scanner_that_runs_scripts_and_presses_all_it_finds_agrees_to_nothing(
    page: Page, quote: Quote, complaints
) -> None:
    """Such programs open what stands in a letter before the customer does. They type no name."""
    before = set(Job.objects.values_list("stage", flat=True))
    address = page_of(quote.job)
    page.goto(address)
    pressed = page.locator(ALL_IT_FINDS).count()
    for place in range(pressed):
        page.goto(address)
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        page.locator(ALL_IT_FINDS).nth(place).dispatch_event("click")
        page.wait_for_load_state("networkidle")
    quote.refresh_from_db()
    assert pressed > 5
    assert (quote.state, quote.answered_name) == ("out", "")
    assert set(Job.objects.values_list("stage", flat=True)) == before
    assert not quote.job.messages.exists()
    # Refused for want of a name; and a paper has no icon. The browser's console tells of both.
    complaints[:] = [said for said in complaints if "422" not in said and "404" not in said]
