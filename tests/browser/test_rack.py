"""The rack in a real browser: narrowed by touch, by key and without a script."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Locator, Page, Route, expect

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.shop.models import Staff
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.visits import visit
from tests.factories import JobFactory

pytestmark = pytest.mark.usefixtures("patterns")


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the counter, logged in."""
    log_in(people["counter"])
    return people["counter"]


@pytest.fixture
def jobs(counter: Staff) -> list[Job]:
    """Three jobs: one grounded, one on the bench, one waiting for parts."""
    long, short = (
        visit(counter, "Oda Tveit", cut_mm=90),
        visit(counter, "Bram Okoye", cut_mm=8, stage=Stage.BENCH),
    )
    waiting = visit(counter, "אורי לב", pattern="Skarv 9 kite", cut_mm=20)
    stages.set_hold(waiting, "parts", "valve", who=counter)
    return [long, short, waiting]


def rows(page: Page) -> Locator:
    return page.locator("#rail > .row")


def test_the_counter_narrows_the_rack_by_touch_and_opens_a_job(page: Page, jobs: list[Job]) -> None:
    page.goto("/")
    expect(rows(page)).to_have_count(3)

    page.get_by_role("link", name=re.compile("On the bench")).tap()
    expect(rows(page)).to_have_count(1)
    expect(page).to_have_url(re.compile(r"\?stage=bench$"))
    page.get_by_role("link", name=re.compile("All open")).tap()
    expect(rows(page)).to_have_count(3)

    page.get_by_role("link", name=re.compile("^On hold")).tap()
    expect(rows(page)).to_have_count(1)
    expect(page.get_by_role("status")).to_have_text("1 job shown: on hold")
    page.get_by_role("link", name=re.compile("^On hold")).tap()
    expect(rows(page)).to_have_count(3)

    rows(page).filter(has_text="Oda Tveit").tap(position={"x": 400, "y": 20})
    expect(page).to_have_url(re.compile(r"/jobs/\d+/$"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("Holm 5.0 wing")


def test_the_rack_follows_what_is_typed_and_the_cursor_stays_where_it_was(
    page: Page, jobs: list[Job]
) -> None:
    page.goto("/")
    box = page.get_by_placeholder("Number, name or gear")

    box.press_sequentially("brm", delay=20)
    expect(page.get_by_role("heading", name="No open job fits")).to_be_visible()
    box.press("Backspace")
    expect(rows(page)).to_have_count(1)
    box.press_sequentially("am o", delay=20)
    expect(rows(page)).to_have_count(1)
    expect(box).to_be_focused()
    expect(box).to_have_value("bram o")


def test_letters_typed_while_the_answer_is_under_way_stay_and_are_asked_for(
    page: Page, jobs: list[Job]
) -> None:
    page.goto("/")
    box = page.get_by_placeholder("Number, name or gear")

    def slow(route: Route) -> None:
        if route.request.url.endswith("text=b"):
            box.press_sequentially("ram x")
        route.continue_()

    page.route("**/?*text=*", slow)
    box.press_sequentially("b")

    expect(page.get_by_role("heading", name="No open job fits")).to_be_visible()
    expect(box).to_have_value("bram x")
    expect(box).to_be_focused()


def test_a_letter_typed_in_the_moment_after_an_answer_is_heard(page: Page, jobs: list[Job]) -> None:
    page.goto("/")
    page.evaluate(
        """() => document.addEventListener("htmx:afterSwap", () => queueMicrotask(() => {
            const field = document.getElementById("rack-text");
            field.value = "bram";
            field.dispatchEvent(new Event("input", { bubbles: true }));
        }), { once: true })"""
    )

    page.get_by_placeholder("Number, name or gear").press_sequentially("zz")

    expect(page).to_have_url(re.compile(r"text=bram$"))
    expect(rows(page)).to_have_count(1)


def test_going_back_brings_the_whole_page_as_it_was(page: Page, jobs: list[Job]) -> None:
    page.goto("/")
    page.get_by_role("link", name=re.compile("On the bench")).tap()
    expect(rows(page)).to_have_count(1)

    page.go_back()

    expect(rows(page)).to_have_count(3)
    expect(page.get_by_role("banner")).to_be_visible()


def test_a_job_of_today_is_one_tap_away(page: Page, jobs: list[Job]) -> None:
    page.goto("/")

    page.get_by_role("navigation", name="Came in today").get_by_role("link", name="Bram Okoye").tap()

    expect(page.get_by_role("heading", level=1)).to_contain_text(str(jobs[1]))


def test_the_rack_is_walked_by_keys_alone(page: Page, jobs: list[Job]) -> None:
    page.goto("/")
    target = page.locator("#stage-bench")
    for _ in range(40):
        page.keyboard.press("Tab")
        if target.evaluate("(el) => el === document.activeElement"):
            break
    expect(target).to_be_focused()

    page.keyboard.press("Enter")
    expect(rows(page)).to_have_count(1)
    expect(target).to_be_focused()
    expect(target).to_have_attribute("aria-current", "true")

    opener = rows(page).get_by_role("link", name=re.compile("^Job"))
    for _ in range(40):
        page.keyboard.press("Tab")
        if opener.evaluate("(el) => el === document.activeElement"):
            break
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"/jobs/\d+/$"))


def test_on_a_phone_the_filters_open_on_request_and_the_chosen_one_stays(page: Page, jobs: list[Job]) -> None:
    page.set_viewport_size(PHONE)
    page.goto("/")
    grounded = page.locator(".narrow").get_by_role("link", name=re.compile("^Grounded"))
    expect(grounded).to_be_hidden()

    page.get_by_text("Narrow it down").tap()
    grounded.tap()

    expect(page).to_have_url(re.compile("band=Grounded"))
    expect(grounded).to_be_visible()
    expect(page.get_by_placeholder("Number, name or gear")).to_be_hidden()


def test_fifty_more_follow_by_a_tap(page: Page, counter: Staff) -> None:
    first = visit(counter, "Oda Tveit")
    for number in range(2, 53):
        JobFactory(number=number, stage=Stage.BENCH, customer=first.customer, inflatable=first.inflatable)
    page.goto("/")
    expect(rows(page)).to_have_count(50)

    page.get_by_role("link", name="Show more").tap()

    expect(rows(page)).to_have_count(52)
    expect(page.get_by_role("link", name="Show more")).to_have_count(0)


def test_without_a_script_the_rack_narrows_all_the_same(
    browser: Browser, context, base_url: str, jobs: list[Job]
) -> None:
    bare = browser.new_context(java_script_enabled=False, base_url=base_url, viewport=TABLET)
    bare.add_cookies(context.cookies())
    page = bare.new_page()
    page.goto("/")

    page.get_by_role("link", name=re.compile("On the bench")).click()
    expect(rows(page)).to_have_count(1)
    page.get_by_placeholder("Number, name or gear").fill("oda")
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_role("heading", name="No open job fits")).to_be_visible()
    page.get_by_role("link", name="Show all open jobs").click()
    expect(rows(page)).to_have_count(3)
    bare.close()


@pytest.mark.parametrize(("screen", "theme"), [(TABLET, "dark"), (PHONE, "light")])
def test_the_rack_shuts_nobody_out(page: Page, jobs: list[Job], screen: dict[str, int], theme: str) -> None:
    page.set_viewport_size(screen)
    page.emulate_media(color_scheme=theme)
    for path in ("/", "/?stage=bench&hold=any", "/?stage=handed-back"):
        page.goto(path)
        axe_clean(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_everything_to_tap_is_large_enough_for_a_wet_finger(page: Page, jobs: list[Job]) -> None:
    page.goto("/?band=Grounded&hold=any")
    small = page.evaluate(
        """() => [...document.querySelectorAll('main a, main button, main input:not([type=hidden])')]
            .filter(el => el.checkVisibility() && el.getBoundingClientRect().width > 1)
            .filter(el => !el.closest('.row-tag'))
            .filter(el => el.getBoundingClientRect().height < 47.5)
            .map(el => el.outerHTML.slice(0, 120))"""
    )
    assert [one for one in small if "row-tag" not in one] == []
