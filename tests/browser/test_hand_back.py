"""Gear is fetched at the counter's tablet: paid, signed with the mouse, handed back; also without scripts."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from shoprepair.jobs.models import Job, Stage
from shoprepair.work import invoices
from shoprepair.work.models import HandBack, Payment
from tests.browser.conftest import DESK, PHONE, TABLET, axe_clean
from tests.factories import DamageFactory, JobFactory, ready


@pytest.fixture
def job(people) -> Job:
    """Ready, with $110.00 to pay."""
    job = JobFactory(
        stage=Stage.ASSESSED, terms_agreed_at="2026-05-04T09:00:00Z", customer__name="Ilka Sandvoort"
    )
    DamageFactory(job=job)
    return ready(job, people["owner"])


def sign(page: Page) -> None:
    """A scrawl across the box, dragged with the mouse."""
    canvas = page.locator("[data-sign-canvas]")
    canvas.scroll_into_view_if_needed()
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 30, box["y"] + box["height"] / 2)
    page.mouse.down()
    for step in range(1, 20):
        page.mouse.move(box["x"] + 30 + 10 * step, box["y"] + box["height"] * (0.3 + 0.4 * (step % 2)))
    page.mouse.up()


def test_gear_is_paid_signed_for_and_handed_back(page: Page, log_in, people, job) -> None:
    log_in(people["counter"])
    page.goto(job.get_absolute_url())
    page.get_by_role("link", name="Hand back", exact=True).first.click()
    expect(page.get_by_role("heading", name="Hand back")).to_be_visible()
    axe_clean(page)

    sign(page)
    expect(page.get_by_text("Signed.")).to_be_visible()
    page.get_by_label("A document").check(force=True)
    page.get_by_label("In words").fill("passport")

    expect(page.get_by_label("Amount")).to_have_value("110")
    page.get_by_label("Card").check(force=True)
    page.get_by_role("button", name="Take the payment").dblclick()
    expect(page.get_by_text("paid in full")).to_be_visible()
    assert Payment.objects.count() == 1

    # What was typed and signed is still there after the payment.
    expect(page.get_by_label("In words")).to_have_value("passport")
    expect(page.get_by_text("Signed.")).to_be_visible()
    page.get_by_role("button", name="Hand it back").click()
    expect(page.get_by_role("heading", name="Taken by Ilka Sandvoort")).to_be_visible()
    expect(page.get_by_role("img", name="Signature of Ilka Sandvoort")).to_be_visible()
    axe_clean(page)
    given = HandBack.objects.get()
    assert given.known_by == "a document: passport"
    assert len(given.signature[0]) > 10
    assert invoices.standing(job).total == invoices.owed(job).paid


def test_a_dot_is_refused_and_the_rest_is_kept(page: Page, log_in, people, job, complaints) -> None:
    log_in(people["owner"])
    page.goto(f"/jobs/{job.number}/hand-back/")
    canvas = page.locator("[data-sign-canvas]")
    canvas.click(position={"x": 60, "y": 40})
    page.get_by_label("The tag").check(force=True)
    page.get_by_label("Why it is handed back as it is").fill("Pays by transfer.")
    page.get_by_role("button", name="Hand it back as it is").click()
    expect(page.get_by_text("A dot is not a signature.")).to_be_visible()
    assert all("422" in complaint for complaint in complaints)
    complaints.clear()
    expect(page.get_by_label("Why it is handed back as it is")).to_have_value("Pays by transfer.")
    page.get_by_role("button", name="Clear it").click()
    sign(page)
    page.get_by_role("button", name="Hand it back as it is").click()
    expect(page.get_by_text("Open when it left")).to_be_visible()


def test_who_cannot_draw_signs_by_the_keyboard_alone(page: Page, log_in, people, job) -> None:
    log_in(people["owner"])
    page.goto(f"/jobs/{job.number}/hand-back/")
    page.get_by_label("The tag").focus()
    page.keyboard.press("Space")
    page.get_by_label("Type the name instead of drawing").focus()
    page.keyboard.type("I. Sandvoort")
    expect(page.locator("[data-sign-canvas]")).to_be_hidden()
    page.get_by_label("Why it is handed back as it is").focus()
    page.keyboard.type("Pays by transfer.")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Signed by typing the name.")).to_be_visible()
    axe_clean(page)
    assert HandBack.objects.get().typed_name == "I. Sandvoort"


@pytest.mark.parametrize("screen", [TABLET, PHONE, DESK], ids=["tablet", "phone", "desk"])
def test_every_screen_shows_it_whole(page: Page, log_in, people, job, screen) -> None:
    page.set_viewport_size(screen)
    log_in(people["owner"])
    page.goto(f"/jobs/{job.number}/hand-back/")
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= screen["width"]
    for button in page.locator("main .button:visible, main .choice:visible").all():
        assert button.bounding_box()["height"] >= 47.5


def test_without_scripts_it_is_paid_and_signed_on_paper(
    browser: Browser, base_url, log_in, context, people, job
):
    log_in(people["counter"])
    plain = browser.new_context(
        java_script_enabled=False, viewport=TABLET, storage_state=context.storage_state(), base_url=base_url
    )
    page = plain.new_page()
    page.goto(f"/jobs/{job.number}/hand-back/")
    expect(page.get_by_text("This screen cannot be signed on.")).to_be_visible()
    expect(page.locator("[data-sign-canvas]")).to_be_hidden()
    page.get_by_label("Cash").check(force=True)
    page.get_by_role("button", name="Take the payment").click()
    expect(page.get_by_text(re.compile(r"\$110\.00 is paid\."))).to_be_visible()
    page.get_by_label("In person").check(force=True)
    page.get_by_label("Signed on paper").check(force=True)
    page.get_by_role("button", name="Hand it back").click()
    expect(page.get_by_text("Signed on paper.")).to_be_visible()
    plain.close()
    assert HandBack.objects.get().on_paper
