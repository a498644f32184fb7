"""The demo's most dangerous job that waits for its quote: quoted at the counter, accepted on a phone."""

import re
from collections.abc import Iterator
from random import Random

import pytest
from django.utils import timezone
from playwright.sync_api import Browser, Page, expect

from shoprepair.jobs.models import Job, Stage
from shoprepair.office.demo import build, clock, gear, people
from shoprepair.office.demo.bench_day import BenchDay
from shoprepair.office.demo.today import TODAY
from shoprepair.pricing import catalogue
from shoprepair.pricing.models import Quote
from tests.browser.conftest import PHONE, TABLET, axe_clean


@pytest.fixture
def job(transactional_db) -> Job:
    """The demo shop with those of today's jobs that are assessed; of these the most urgent."""
    now = timezone.now()
    rng = Random(build.SEED)
    with clock.at(now - gear.HISTORY):
        crew = people.open_shop()
    gear.add_all(now, rng, crew.counter)
    catalogue.load()
    day = BenchDay(now, crew)
    for visit in TODAY:
        if visit.stage == Stage.ASSESSED:
            build.hang(visit, now, day, rng)
    return Job.objects.order_by("rank", "promised_on", "id")[0]


@pytest.fixture(params=[True, False], ids=["with scripts", "without scripts"])
def scripts(request: pytest.FixtureRequest) -> bool:
    return request.param


def opened(browser: Browser, base_url: str, size: dict[str, int], *, scripts: bool) -> Iterator[Page]:
    context = browser.new_context(viewport=size, base_url=base_url, java_script_enabled=scripts)
    yield context.new_page()
    context.close()


@pytest.fixture
def tablet(browser: Browser, base_url: str, scripts: bool) -> Iterator[Page]:
    yield from opened(browser, base_url, TABLET, scripts=scripts)


@pytest.fixture
def phone(browser: Browser, base_url: str, scripts: bool) -> Iterator[Page]:
    yield from opened(browser, base_url, PHONE, scripts=scripts)


def log_in(page: Page, who: people.LogIn) -> None:
    page.goto("/log-in/")
    page.get_by_label("Name").fill(who.username)
    page.get_by_label("Password").fill(who.password)
    page.get_by_label("Password").press("Enter")
    page.wait_for_url("**/")


def test_the_most_urgent_job_is_quoted_and_its_owner_accepts_on_the_phone(
    job: Job, tablet: Page, phone: Page, scripts: bool
) -> None:
    log_in(tablet, people.COUNTER)
    tablet.goto(job.get_absolute_url())
    tablet.locator(".job-next").get_by_role("link").click()
    tablet.get_by_role("button", name="Draft the quote").click()
    tablet.get_by_role("link", name="Send the quote").click()
    tablet.get_by_role("button", name="Send it now").click()
    expect(tablet.locator(".quote-head .quote-state")).to_contain_text("Out since")
    address = tablet.get_by_label("The customer’s page").input_value()

    phone.goto(address[address.index("/s/") :])
    expect(phone.get_by_text("Do not inflate it").first).to_be_visible()
    if scripts:
        axe_clean(phone)
    phone.get_by_label("Your name").first.fill(job.customer.name)
    phone.get_by_role("button", name=re.compile(r"^Accept for \$\d")).click()
    expect(phone.get_by_text(re.compile(r"Agreed: \$\d")).first).to_be_visible()

    job.refresh_from_db()
    assert job.stage == Stage.GO_AHEAD
    assert Quote.objects.get(job=job).answered_name == job.customer.name
    tablet.goto(job.get_absolute_url())
    expect(tablet.get_by_text("Go-ahead").first).to_be_visible()
