"""The owner says who works when, and every promise follows."""

import datetime
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shoprepair.jobs.models import Hold, Stage
from shoprepair.shop.models import Staff
from shoprepair.work import forecast
from shoprepair.work.models import Forecast, Holiday
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.test_office import SMALL
from tests.factories import JobFactory, QuoteFactory, QuoteLineFactory
from tests.work.benching import put_in_force

PAGES = ("/office/", "/office/bench-hours/", "/office/holidays/")


@pytest.fixture
def owner(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    log_in(people["owner"])
    return people["owner"]


@pytest.fixture
def jobs(patterns) -> None:
    """Five agreed jobs of five hours each, all promised for today."""
    for _ in range(5):
        job = JobFactory(stage=Stage.GO_AHEAD, promised_on=datetime.datetime.now(tz=datetime.UTC).date())
        QuoteLineFactory(quote=(quote := QuoteFactory(job=job)), minutes=300)
        put_in_force(quote)


def test_fewer_bench_hours_make_every_promise_later(page: Page, owner: Staff, jobs: None) -> None:
    forecast.refresh()
    before = max(Forecast.objects.values_list("likely_on", flat=True))

    page.goto("/office/")
    page.get_by_role("link", name="Bench hours").click()
    for day in ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday"):
        page.get_by_label(f"bench on {day}, minutes").fill("1:00")
    page.get_by_role("button", name="Save the hours").click()

    expect(page.get_by_role("status")).to_contain_text("Every date is reckoned by these hours now.")
    assert max(Forecast.objects.values_list("likely_on", flat=True)) > before
    page.goto("/office/")
    page.get_by_role("link", name="5 about to be late").click()
    expect(page.locator(".evening-rows li")).to_have_count(5)
    expect(page.locator(".evening-rows li").first).to_contain_text("late")
    axe_clean(page)


def test_a_day_on_which_the_shop_is_closed_is_added_and_taken_back(
    page: Page, owner: Staff, patterns: None
) -> None:
    page.goto("/office/holidays/")
    page.get_by_label("First day").fill("2031-12-25")
    expect(page.get_by_text(re.compile("Thursday,? 25 December 2031"))).to_be_visible()
    page.get_by_label("Why").fill("Midwinter")
    page.get_by_role("button", name="Add these days").click()
    expect(page.get_by_role("status")).to_contain_text(
        re.compile(r"The shop is closed on Thu 25\s?Dec\s2031")
    )
    axe_clean(page)

    page.get_by_role("button", name="Remove").click()

    expect(page.get_by_text("None. Every day")).to_be_visible()
    assert not Holiday.objects.exists()


@pytest.mark.parametrize(("screen", "theme"), [(TABLET, "light"), (PHONE, "dark")])
def test_hours_and_holidays_shut_nobody_out(
    page: Page, owner: Staff, jobs: None, screen: dict[str, int], theme: str
) -> None:
    Holiday.objects.create(
        first_day=datetime.date(2031, 8, 1), last_day=datetime.date(2031, 8, 9), who=owner, note="At sea"
    )
    page.set_viewport_size(screen)
    page.emulate_media(color_scheme=theme)
    for path in PAGES:
        page.goto(path)
        axe_clean(page)
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, path
        assert page.evaluate(SMALL) == [], path


def test_a_job_that_waits_for_parts_is_told_their_day_on_its_sheet(
    page: Page, owner: Staff, jobs: None
) -> None:
    job = JobFactory(stage=Stage.CHECKED_IN, hold=Hold.PARTS)
    page.goto(job.get_absolute_url())
    expect(page.get_by_text("No date is known: nobody has said when its parts come.")).to_be_visible()

    page.get_by_label("Parts expected on").fill(
        (datetime.datetime.now(tz=datetime.UTC).date() + datetime.timedelta(days=60)).isoformat()
    )
    page.get_by_role("button", name="Keep this day").click()

    expect(page.get_by_text("Its parts are expected on")).to_be_visible()
    axe_clean(page)
