"""A hold test in a real browser: begun, read, decided, on the tablet, on a phone, and without scripts."""

import datetime
from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Browser, Page, expect

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.shop.models import Staff
from shoprepair.work.models import HoldReading, HoldTest
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.test_office import SMALL
from tests.factories import held
from tests.pricing.mending import stocked
from tests.work.benching import a_cut_job, agree, do_all

pytestmark = pytest.mark.usefixtures("patterns")
HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def tech(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the bench, logged in."""
    log_in(people["bench"])
    return people["bench"]


@pytest.fixture
def job(tech: Staff) -> Job:
    """A wing whose leading edge was cut through, repaired and waiting for its hold test."""
    stocked()
    found = a_cut_job()
    agree(found)
    stages.move(found, Stage.BENCH, who=tech)
    do_all(found, tech)
    return stages.move(found, Stage.HOLD_TEST, who=tech)


def at(job: Job) -> str:
    return f"/bench/jobs/{job.number}/hold-test/"


def fits(page: Page) -> None:
    """Assert that nobody is shut out, nothing runs off the screen, and fingers hit what they press."""
    axe_clean(page)
    wider = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wider <= 0, f"{page.url} is {wider} px wider than the screen"
    assert page.evaluate(SMALL) == [], page.url


def keep_reading(page: Page, bar: str, hours_ago: float) -> None:
    page.get_by_label("Pressure", exact=True).fill(bar)
    page.get_by_label("Temperature", exact=True).fill("20")
    moment = timezone.localtime() - hours_ago * HOUR
    page.get_by_label("Read at").fill(f"{moment:%Y-%m-%dT%H:%M}")
    page.get_by_role("button", name="Keep the reading").click()


def test_a_tube_is_pumped_read_twice_and_found_to_hold(page: Page, job: Job):
    page.goto(at(job))
    fits(page)
    page.get_by_role("button", name="Begin the test").tap()
    expect(page.get_by_role("heading", name="First reading")).to_be_visible()
    keep_reading(page, "0.500", 2)
    expect(page.get_by_role("heading", name="Cannot tell yet")).to_be_visible()
    expect(page.get_by_text("would decide")).to_be_visible()
    keep_reading(page, "0.499", 0)
    expect(page.get_by_role("heading", name="It holds")).to_be_visible()
    expect(page.get_by_role("img", name="2 readings of the gauge")).to_be_visible()
    fits(page)
    page.get_by_role("button", name="It holds", exact=True).tap()
    page.get_by_role("button", name="Ready for the customer").tap()
    page.wait_for_url("**/jobs/*/")
    assert Job.objects.get(pk=job.pk).stage == Stage.READY


def test_a_pressure_above_rated_is_answered_while_it_is_typed(page: Page, job: Job):
    page.goto(at(job))
    page.get_by_label("Test pressure").fill("0.8 bar")
    expect(page.get_by_text("only the owner may allow it")).to_be_visible()


def test_a_reading_is_taken_out_and_put_back_and_a_leak_goes_back_to_the_bench(page: Page, job: Job):
    page.goto(at(job))
    page.get_by_role("button", name="Begin the test").tap()
    keep_reading(page, "0.500", 2)
    keep_reading(page, "0.300", 0)
    expect(page.get_by_role("heading", name="It does not hold")).to_be_visible()
    page.get_by_role("button", name="Take out").last.tap()
    expect(page.get_by_role("heading", name="Cannot tell yet")).to_be_visible()
    page.get_by_role("button", name="Undo").tap()
    expect(page.get_by_role("heading", name="It does not hold")).to_be_visible()
    page.get_by_role("button", name="back to the bench").tap()
    expect(page.get_by_text("Where to listen")).to_be_visible()
    fits(page)
    assert Job.objects.get(pk=job.pk).stage == Stage.BENCH


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_answer_is_readable_on_a_phone_by_day_and_by_night(
    page: Page, job: Job, tech: Staff, scheme: str
):
    page.set_viewport_size(PHONE)
    page.emulate_media(color_scheme=scheme)
    page.goto(at(job))
    fits(page)
    held(job, tech)
    page.goto(at(job))
    fits(page)


def test_the_whole_test_works_without_scripts(
    browser: Browser, base_url: str, job: Job, context: object, tech: Staff
):
    bare = browser.new_context(
        base_url=base_url, viewport=TABLET, java_script_enabled=False, storage_state=context.storage_state()
    )
    page = bare.new_page()
    page.goto(at(job))
    page.get_by_role("button", name="Begin the test").click()
    for bar, hours in (("0.500", 2), ("0.499", 0)):
        keep_reading(page, bar, hours)
    page.get_by_role("button", name="It holds", exact=True).click()
    expect(page.get_by_role("button", name="Ready for the customer")).to_be_visible()
    bare.close()
    assert HoldTest.objects.get().verdict == HoldTest.Verdict.HOLDS
    assert HoldReading.objects.count() == 2
