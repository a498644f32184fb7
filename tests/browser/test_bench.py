"""A job worked down on the bench's tablet: with a line, without one, on two devices, without scripts."""

import datetime
import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import Browser, BrowserContext, Page, expect

from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff
from shoprepair.work import steps, stints
from shoprepair.work.models import Step, Stint, Tick
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.pricing.mending import stocked
from tests.work.benching import a_cut_job, agree, on_the_bench

pytestmark = pytest.mark.usefixtures("patterns")


@pytest.fixture
def tech(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the bench, logged in."""
    log_in(people["bench"])
    return people["bench"]


@pytest.fixture
def job(tech: Staff) -> Job:
    return on_the_bench(tech)


def seen(page: Page, name: str) -> None:
    """Keep a picture where somebody wants to look: SHOPREPAIR_PICTURES names the folder."""
    if folder := os.environ.get("SHOPREPAIR_PICTURES"):
        page.screenshot(path=Path(folder) / f"{name}.png")


def at(job: Job, step: Step | None = None) -> str:
    return f"/bench/jobs/{job.number}/" + (f"steps/{step.pk}/" if step else "")


def done(page: Page) -> None:
    page.locator(".bench-step:not([hidden]) .bench-done:visible button").tap()


def shown(page: Page) -> str:
    return page.locator(".bench-step:not([hidden]) h1").inner_text()


def settled(page: Page) -> None:
    """All that was tapped is with the shop, and the page has heard what the shop says."""
    for _ in range(200):
        kept = page.evaluate("JSON.parse(localStorage.getItem('bench-ticks') || '[]').length")
        if not kept and not page.locator("#ticks[aria-busy]").count():
            return
        page.wait_for_timeout(50)
    raise AssertionError("Ticks still wait.")


def fits(page: Page) -> None:
    """Nothing sticks out to the side."""
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def large_enough(page: Page) -> None:
    """Whatever is tapped at the bench is at least 56 pixels tall."""
    small = page.evaluate(
        """() => Array.from(document.querySelectorAll('main .button, main summary'))
            .filter(each => each.checkVisibility() && each.getBoundingClientRect().height < 55.5)
            .map(each => each.textContent.trim())"""
    )
    assert small == []


def dones(job: Job) -> list[int]:
    """Steps with their dones, in the order in which they were tapped."""
    return list(Tick.objects.filter(step__job=job, verb="done").order_by("at").values_list("step", flat=True))


def test_the_suggested_job_is_taken_and_its_first_steps_are_worked_down(page: Page, tech: Staff) -> None:
    stocked()
    job = a_cut_job()
    agree(job)
    page.goto("/bench/")
    axe_clean(page)
    fits(page)
    large_enough(page)
    seen(page, "bench")
    page.get_by_role("button", name="Take it").tap()
    expect(page.locator(".bench-so-far")).to_be_visible()
    axe_clean(page)
    large_enough(page)
    seen(page, "bench-job")
    every = steps.of(job)
    page.get_by_role("button", name="Start this step").tap()
    expect(page.get_by_role("heading", name=every[0].text)).to_be_visible()
    settled(page)
    axe_clean(page)
    fits(page)
    large_enough(page)
    seen(page, "bench-step")
    done(page)
    expect(page.get_by_role("heading", name=every[1].text)).to_be_visible()
    settled(page)
    expect(page.locator("[data-undo]")).to_contain_text(every[0].text)
    axe_clean(page)
    assert dones(job) == [every[0].pk]
    running = stints.running(tech)
    assert running is not None
    assert running.step == every[1]
    assert page.url.endswith(at(job, every[1]))


def test_a_done_is_undone_from_the_bar_and_the_step_runs_again(page: Page, job: Job, tech: Staff) -> None:
    first, second = steps.of(job)[:2]
    page.goto(at(job, first))
    done(page)
    page.locator("[data-undo]").get_by_role("button", name="Undo").tap()
    expect(page.get_by_role("heading", name=first.text)).to_be_visible()
    settled(page)
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.state, second.state) == ("running", "waiting")
    expect(page.locator("[data-refused]")).to_be_hidden()


def test_a_step_is_left_out_with_its_reason(page: Page, job: Job) -> None:
    first = steps.of(job)[0]
    page.goto(at(job, first))
    page.locator(".bench-step:not([hidden]) .bench-skip summary").tap()
    seen(page, "bench-skip")
    page.get_by_role("textbox", name="Why is it left out?").fill("It was open already")
    page.get_by_role("button", name="Leave it out").tap()
    settled(page)
    first.refresh_from_db()
    assert (first.state, first.reason) == ("skipped", "It was open already")
    page.goto(at(job))
    expect(page.locator(f"#row-{first.pk}")).to_contain_text("It was open already")


def test_without_a_line_the_page_goes_by_what_was_tapped(
    page: Page, context: BrowserContext, job: Job, complaints: list[str]
) -> None:
    every = steps.of(job)
    page.goto(at(job, every[0]))
    page.get_by_role("button", name="Start").tap()
    settled(page)
    context.set_offline(True)
    skip = page.locator(".bench-step:not([hidden]) .bench-skip")
    skip.locator("summary").tap()
    skip.get_by_label("Why is it left out?").fill("It lay open")
    skip.get_by_role("button", name="Leave it out").tap()
    expect(page.get_by_role("heading", name=every[1].text)).to_be_visible()
    expect(page.locator(".bench-step:not([hidden])").get_by_text("comes first")).to_be_hidden()
    expect(page.locator(".bench-so-far")).to_contain_text(f"1 of {len(every)} steps done")
    context.set_offline(False)
    settled(page)
    complaints.clear()


def test_until_when_it_dries_is_said_where_nothing_more_can_be_done(page: Page, job: Job) -> None:
    every = steps.of(job)
    Step.objects.filter(pk=every[0].pk).update(drying_hours=12)
    page.goto(at(job, every[0]))
    page.get_by_role("button", name="Done already").tap()
    expect(page.get_by_role("heading", name="Nothing more can be done now")).to_be_visible()
    expect(page.locator("[data-rest-words]")).to_contain_text(
        re.compile(r"It dries\. The next step can be done from \w{3},? \d{1,2} \w{3},? \d\d:\d\d")
    )


def test_with_the_line_cut_in_the_middle_every_tick_arrives_exactly_once(
    page: Page, context: BrowserContext, job: Job, complaints: list[str]
) -> None:
    every = steps.of(job)
    free = [step.pk for step in every[:6]]
    page.goto(at(job, every[0]))
    done(page)
    settled(page)
    context.set_offline(True)
    for step in every[1:4]:
        expect(page.get_by_role("heading", name=step.text)).to_be_visible()
        done(page)
    expect(page.locator("[data-waiting-words]")).to_contain_text("Waiting to be sent")
    expect(page.get_by_role("heading", name=every[4].text)).to_be_visible()
    axe_clean(page)
    seen(page, "bench-offline")
    assert dones(job) == free[:1]
    context.set_offline(False)
    settled(page)
    expect(page.locator("[data-waiting]")).to_be_hidden()
    done(page)
    settled(page)
    assert dones(job) == free[:5]
    assert Tick.objects.filter(step__job=job, verb="done").count() == 5
    complaints.clear()


def test_an_answer_that_is_lost_on_its_way_back_doubles_no_tick(
    page: Page, job: Job, complaints: list[str]
) -> None:
    first = steps.of(job)[0]
    lost = []

    def lose(route):
        if not lost:
            lost.append(route.fetch().status)
            route.abort()
        else:
            route.continue_()

    page.goto(at(job, first))
    page.route("**/bench/ticks/", lose)
    done(page)
    settled(page)
    assert lost == [204]
    assert dones(job) == [first.pk]
    complaints.clear()


def test_ticks_outlive_the_page_that_kept_them(
    page: Page, job: Job, tech: Staff, complaints: list[str]
) -> None:
    first = steps.of(job)[0]
    page.goto(at(job, first))
    page.route("**/bench/ticks/", lambda route: route.abort())
    done(page)
    expect(page.locator("[data-waiting-words]")).to_contain_text("Waiting to be sent (2)")
    page.goto("/bench/")
    expect(page.locator("[data-waiting-words]")).to_contain_text("Waiting to be sent (2)")
    page.unroute("**/bench/ticks/")
    page.get_by_role("button", name="Try now").tap()
    settled(page)
    assert dones(job) == [first.pk]
    complaints.clear()


def test_what_the_shop_refuses_is_said_in_its_own_words(page: Page, job: Job, complaints: list[str]) -> None:
    last = steps.of(job)[-1]
    page.goto(at(job, last))
    done(page)
    expect(page.locator("[data-refused]")).to_contain_text("comes first")
    axe_clean(page)
    page.get_by_role("button", name="Understood").tap()
    expect(page.locator("[data-refused]")).to_be_hidden()
    last.refresh_from_db()
    assert last.state == "waiting"
    complaints.clear()


def test_two_devices_on_one_job_lose_no_tick(
    page: Page, browser: Browser, base_url: str, context: BrowserContext, job: Job, complaints: list[str]
) -> None:
    every = steps.of(job)
    other = browser.new_context(viewport=PHONE, has_touch=True, base_url=base_url)
    other.add_cookies(context.cookies())
    phone = other.new_page()
    page.goto(at(job, every[0]))
    phone.goto(at(job, every[0]))
    other.set_offline(True)
    done(phone)
    done(phone)
    done(page)
    settled(page)
    other.set_offline(False)
    settled(phone)
    page.goto(at(job))
    for step in every[:2]:
        expect(page.locator(f"#row-{step.pk}")).to_have_attribute("data-state", "done")
    assert [step.state for step in steps.of(job)[:2]] == ["done", "done"]
    assert Tick.objects.filter(step=every[0], verb="done").count() == 2
    fits(phone)
    seen(phone, "bench-phone")
    other.close()
    complaints.clear()


def test_without_scripts_the_steps_are_worked_down_all_the_same(
    browser: Browser, base_url: str, context: BrowserContext, job: Job
) -> None:
    plain = browser.new_context(viewport=TABLET, has_touch=True, base_url=base_url, java_script_enabled=False)
    plain.add_cookies(context.cookies())
    page = plain.new_page()
    every = steps.of(job)
    page.goto(at(job))
    page.get_by_role("button", name="Start this step").tap()
    for step in every[:2]:
        expect(page.locator(f"#step-{step.pk}")).to_be_visible()
        done(page)
    expect(page.locator(f"#step-{every[2].pk}")).to_be_visible()
    page.locator("[data-undo]").get_by_role("button", name="Undo").tap()
    expect(page.locator(f"#step-{every[1].pk}")).to_be_visible()
    assert [step.state for step in steps.of(job)[:3]] == ["done", "running", "waiting"]
    plain.close()


def test_forgotten_time_is_noticed_and_put_right(page: Page, job: Job, tech: Staff) -> None:
    first = steps.of(job)[0]
    began = timezone.now() - datetime.timedelta(days=1, hours=2)
    Stint.objects.create(who=tech, job=job, step=first, began_at=began)
    page.goto("/bench/")
    page.get_by_role("link", name="Correct").tap()
    expect(page.get_by_role("heading", name="Still running")).to_be_visible()
    axe_clean(page)
    seen(page, "bench-time")
    ended = timezone.localtime(began + datetime.timedelta(minutes=30))
    page.get_by_label("It ended at").fill(f"{ended:%Y-%m-%dT%H:%M}")
    page.get_by_role("button", name="Put it right").tap()
    expect(page.get_by_text("Put right.")).to_be_visible()
    assert stints.running(tech) is None
    page.goto(f"/bench/jobs/{job.number}/found/")
    axe_clean(page)
    seen(page, "bench-found")


@pytest.mark.parametrize(
    "size", [pytest.param(TABLET, id="tablet"), pytest.param(PHONE, id="phone", marks=pytest.mark.soak)]
)
def test_forty_long_steps_and_a_name_from_right_to_left_fit_and_read_by_night(
    browser: Browser, base_url: str, context: BrowserContext, job: Job, size: dict[str, int]
) -> None:
    job.customer.name = "شركة الرياح العالية ليلى بنت عبد الرحمن"
    job.customer.save()
    sample = next(step for step in steps.of(job) if step.repair_id)
    for place in range(28):
        Step.objects.create(
            job=job,
            position=100 + place,
            made_from=f"more:{place}",
            kind=Step.Kind.REPAIR,
            text=f"Sew row {place} along the Donaudampfschifffahrtsgesellschaftskapitänsmützenseam, " * 2,
            caution="Fingers beside the foot, never before the needle.",
            damages=sample.damages,
            repair=sample.repair,
        )
    night = browser.new_context(
        viewport=size, has_touch=True, base_url=base_url, color_scheme="dark", reduced_motion="reduce"
    )
    night.add_cookies(context.cookies())
    page = night.new_page()
    name = "tablet" if size is TABLET else "phone"
    for address, what in (
        (at(job), "list"),
        (at(job, Step.objects.get(made_from="more:3")), "step"),
        ("/bench/", "bench"),
    ):
        page.goto(address)
        fits(page)
        axe_clean(page)
        seen(page, f"bench-night-{name}-{what}")
    night.close()


def test_on_a_phone_the_glass_stands_over_a_drawing_with_pins_and_opens(page: Page, job: Job) -> None:
    page.set_viewport_size(PHONE)
    for address in (at(job, steps.of(job)[0]), f"/jobs/{job.number}/"):
        page.goto(address)
        expect(page.locator(".pin").first).to_be_attached()
        page.locator("#bar-search").tap()
        expect(page.locator("#bar-search")).to_be_focused()
