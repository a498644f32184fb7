"""A whole day with one wing on the tablets: taken, repaired with the line cut, tested, paid, handed back."""

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.models import Material
from shoprepair.shop.models import Staff
from shoprepair.work import invoices, steps, stock
from shoprepair.work.models import HandBack, Tick, Use
from tests.browser.test_bench import done, dones, settled
from tests.browser.test_hand_back import sign
from tests.browser.test_hold_test import keep_reading
from tests.papers import reading
from tests.pricing.mending import a_job, on_the_edge, stocked
from tests.work.benching import agree

pytestmark = pytest.mark.usefixtures("patterns")


@pytest.fixture
def job(people: dict[str, Staff]) -> Job:
    """A wing with a small cut, whose owner said yes; every material lies on the shelf."""
    stocked()
    found = a_job()
    on_the_edge(found, 0.5, "cut", mm=20, through_bladder="no")
    agree(found)
    for material in Material.objects.all():
        stock.receive(material, "L1", Decimal(50), date(2026, 5, 4), None, who=people["owner"])
    return found


def test_a_wing_is_taken_repaired_tested_paid_and_handed_back_in_a_day(
    page: Page,
    context: BrowserContext,
    job: Job,
    people: dict[str, Staff],
    log_in: Callable[[Staff], None],
    complaints: list[str],
) -> None:
    log_in(people["bench"])
    page.goto("/bench/")
    page.get_by_role("button", name="Take it").tap()
    page.get_by_role("button", name="Start this step").tap()
    settled(page)
    every = steps.of(job)

    for place, step in enumerate(every):
        expect(page.get_by_role("heading", name=step.text, exact=True)).to_be_visible()
        if place == 1:
            context.set_offline(True)
        if place == 3:
            expect(page.locator("[data-waiting-words]")).to_contain_text("Waiting to be sent")
            context.set_offline(False)
            settled(page)
        done(page)
    settled(page)
    complaints.clear()
    assert dones(job) == [step.pk for step in every]
    assert Tick.objects.filter(step__job=job, verb="done").count() == len(every)

    sewn = next(step for step in every if stock.for_step(step))
    page.goto(f"/bench/jobs/{job.number}/steps/{sewn.pk}/")
    page.locator("#materials").get_by_role("button", name=re.compile("^Take ")).first.tap()
    expect(page.get_by_role("heading", name="Taken")).to_be_visible()
    assert Use.objects.get().lot.code == "L1"

    page.goto(f"/bench/jobs/{job.number}/")
    page.get_by_role("button", name="Start the hold test").tap()
    page.get_by_role("button", name="Begin the test").tap()
    keep_reading(page, "0.500", 2)
    expect(page.get_by_role("heading", name="Cannot tell yet")).to_be_visible()
    keep_reading(page, "0.499", 0)
    page.get_by_role("button", name="It holds", exact=True).tap()
    page.get_by_role("button", name="Ready for the customer").tap()
    page.wait_for_url(f"**{job.get_absolute_url()}")

    log_in(people["counter"])
    page.goto(f"/jobs/{job.number}/hand-back/")
    page.get_by_label("Cash").check(force=True)
    page.get_by_role("button", name="Take the payment").tap()
    expect(page.get_by_text("paid in full")).to_be_visible()
    sign(page)
    page.get_by_label("The tag").check(force=True)
    page.get_by_role("button", name="Hand it back").tap()
    expect(page.get_by_role("heading", name="Taken by")).to_be_visible()
    job.refresh_from_db()
    assert job.stage == Stage.HANDED_BACK

    total = f"${invoices.owed(job).total:,.2f}"
    invoice = reading.text(page.request.get(f"/jobs/{job.number}/invoice.pdf").body())
    assert total in invoice
    assert "Cash" in invoice or "cash" in invoice
    sheet = reading.text(page.request.get(f"/jobs/{job.number}/hand-back.pdf").body())
    assert HandBack.objects.get(job=job).taker_name in sheet
