"""More was found in the work: the customer answers it on the phone, and the counter sees both agreements."""

from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from shoprepair.jobs import damages, links
from shoprepair.jobs.models import Stage
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.models import Quote
from shoprepair.shop.units import Typed
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.visits import visit
from tests.factories import QuoteFactory, QuoteLineFactory


@pytest.fixture
def browser_context_args(browser_context_args: dict[str, object]) -> dict[str, object]:
    return {**browser_context_args, "viewport": PHONE, "is_mobile": True, "device_scale_factor": 2}


@pytest.fixture
def addition(people, patterns) -> Quote:
    """A cut that showed on the bench: 50 to patch it, 12 for a tape that may be left out; 10 % tax."""
    owner = people["owner"]
    job = visit(owner, "Ilka Sandvoort", stage=Stage.BENCH)
    found = damages.pin(job, -0.5, 0.05, who=owner)
    damages.answer(found, who=owner, kind="cut", length=Typed(0.02, "20 mm"), direction="along")
    quote = QuoteFactory(job=job, addition_to=quotes.agreed(job))
    for line in (
        {"text": "Casing patch, damage 2", "amount": Decimal(50), "damages": [found.number]},
        {"text": "Polyester tape beside it", "amount": Decimal(12), "optional": True, "damages": [2]},
    ):
        QuoteLineFactory(quote=quote, **line)
    return quotes.send(quote, who=owner, version=quote.version, base_url="https://loft.example")


def no_wider_than_the_screen(page: Page) -> None:
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_a_customer_takes_what_was_found_without_the_tape(page: Page, addition: Quote) -> None:
    agreed = Decimal(quotes.agreed(addition.job).agreed["total"])
    page.goto(links.path(links.current(addition.job)))
    expect(page.get_by_role("heading", name="More was found inside")).to_be_visible()
    expect(page.get_by_text("Found inside, after you had agreed")).to_be_visible()
    expect(page.locator("[data-sum=together] dd").first).to_have_text(f"${agreed + Decimal('68.20'):,.2f}")
    axe_clean(page)
    no_wider_than_the_screen(page)
    page.get_by_label("Polyester tape beside it").uncheck()
    expect(page.locator("[data-sum=together] dd").first).to_have_text(f"${agreed + 55:,.2f}")
    page.get_by_label("Your name").first.fill("Ilka Sandvoort")
    page.get_by_role("button", name="Accept for $55.00").click()
    expect(page.get_by_text("Agreed in addition: $55.00")).to_be_visible()
    expect(page.get_by_text(f"Agreed: ${agreed:,.2f}", exact=True)).to_be_visible()
    axe_clean(page)
    addition.refresh_from_db()
    assert addition.state == Quote.State.ACCEPTED
    assert [quote.state for quote in quotes.agreements(addition.job)] == [Quote.State.ACCEPTED] * 2


def test_a_customer_leaves_what_was_found_and_keeps_what_was_agreed(page: Page, addition: Quote) -> None:
    page.goto(links.path(links.current(addition.job)))
    page.get_by_text("Leave it as it is").click()
    page.locator("#decline-name").fill("Ilka Sandvoort")
    page.get_by_role("button", name="Do not mend what was found").click()
    expect(page.get_by_text("Declined: what was found inside")).to_be_visible()
    expect(page.get_by_text("Found inside; you declined to have it mended")).to_be_visible()
    expect(page.get_by_text("It is being repaired.")).to_be_visible()
    axe_clean(page)
    assert quotes.agreed(addition.job).state == Quote.State.ACCEPTED


@pytest.mark.parametrize("screen", [PHONE, TABLET])
def test_the_counter_sees_the_addition_under_what_was_agreed(
    page: Page, addition: Quote, log_in, people, screen
) -> None:
    page.set_viewport_size(screen)
    log_in(people["counter"])
    page.goto(f"/jobs/{addition.job.number}/quote/")
    expect(page.get_by_role("heading", name="Addition to quote 1")).to_be_visible()
    expect(page.get_by_role("heading", name="What was agreed, and holds")).to_be_visible()
    together = quotes.together(addition, totals.of(addition).total)
    expect(page.get_by_text(f"${together:,.2f}").first).to_be_visible()
    axe_clean(page)
    no_wider_than_the_screen(page)
    page.goto(f"/jobs/{addition.job.number}/")
    expect(page.locator(".quote-card").get_by_role("heading", name="Addition 2")).to_be_visible()
    axe_clean(page)
    no_wider_than_the_screen(page)
