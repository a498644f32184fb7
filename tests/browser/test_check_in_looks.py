"""Check-in pages on every screen, in both themes, with more than usually fits in them."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from shoprepair.jobs import damages
from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Typed
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.counter_work import begun

pytestmark = pytest.mark.usefixtures("patterns")

LONG = "Wilhelmina-Alexandrine van der Schuttersdijkenhoek-Oppenheimerssen"
RTL = "נעמה גלי־ים"
LEAST_TARGET_PX = 44
"""48 px less a border that is drawn inside; nothing a finger must hit is smaller."""


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the counter, logged in."""
    log_in(people["counter"])
    return people["counter"]


@pytest.fixture(params=[(TABLET, "dark"), (PHONE, "light")], ids=str)
def screen(request, page: Page) -> Page:
    """The page on another screen, in one of the two themes."""
    size, theme = request.param
    page.set_viewport_size(size)
    page.emulate_media(color_scheme=theme, reduced_motion="reduce")
    return page


def described(who: Staff, name: str) -> Job:
    """A visit with two damages, one of them described."""
    job = begun(who, pinned=2, name=name)
    damages.answer(job.damages.first(), who=who, kind="cut", length=Typed(0.035, "35 mm"), direction="along")
    return job


def nothing_hangs_over(page: Page) -> None:
    over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert over <= 0, f"{page.url} is {over} px too wide"


TAPPED = ", ".join(
    f"main {one}"
    for one in (
        "button",
        "a",
        ".choice",
        ".face",
        "select",
        "textarea",
        "input:not([type=hidden], [type=radio], [type=checkbox], [type=file])",
    )
)
NOT_TAPPED = "svg, [hidden], h2, p, .visually-hidden"
"""Regions of the drawing are as large as they are; links in a sentence lie in its line."""


def fingers_hit(page: Page) -> None:
    """Everything to tap is large enough."""
    small = page.evaluate(
        """([tapped, not, least]) => Array.from(document.querySelectorAll(tapped))
          .filter(one => !one.closest(not) && one.checkVisibility())
          .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
          .filter(([, box]) => box.height < least || box.width < least).map(([words]) => words)""",
        [TAPPED, NOT_TAPPED, LEAST_TARGET_PX],
    )
    assert small == []


def test_every_page_of_the_check_in_holds_on_every_screen(screen: Page, counter: Staff) -> None:
    job = described(counter, LONG)
    pages = [
        "/check-in/",
        "/check-in/?q=wil",
        "/check-in/?q=nobody+at+all",
        "/search/?q=wil",
        f"/check-in/customer/?name={LONG}",
        f"/check-in/{job.customer.pk}/gear/",
        f"/jobs/{job.number}/check-in/?damage=1",
        f"/jobs/{job.number}/check-in/?damage=2",
        f"/jobs/{job.number}/check-in/?x=0.3&y=0.02",
        "/my/units/",
    ]
    for address in pages:
        screen.goto(address)
        nothing_hangs_over(screen)
        fingers_hit(screen)
        axe_clean(screen)


def test_a_name_written_from_right_to_left_keeps_its_order_and_its_neighbours(
    page: Page, counter: Staff
) -> None:
    job = described(counter, RTL)
    page.goto(f"/jobs/{job.number}/check-in/")
    expect(page.locator(".check-gear")).to_contain_text(RTL)
    page.goto("/check-in/")
    expect(page.get_by_role("searchbox", name="Who is it?")).to_be_focused()
    page.keyboard.type("גלי")
    expect(page.get_by_role("link", name=RTL, exact=True)).to_be_visible()
    nothing_hangs_over(page)


def test_forty_damages_still_have_each_their_tab_and_tag(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=40)
    page.goto(f"/jobs/{job.number}/check-in/?damage=17")
    expect(page.locator("#tabs a")).to_have_count(40)
    expect(page.get_by_role("heading", name=re.compile("Damage 17"))).to_be_visible()
    expect(page.locator("[data-pin]")).to_have_count(40)
    axe_clean(page)
    for size in (TABLET, PHONE):
        page.set_viewport_size(size)
        nothing_hangs_over(page)


@pytest.mark.parametrize("kind", ["scuff", "leak", "burst", "residue", "seam opened", "hole"])
def test_every_kind_of_damage_asks_its_questions_cleanly(page: Page, counter: Staff, kind: str) -> None:
    job = begun(counter, pinned=1)
    damages.answer(job.damages.get(), who=counter, kind=kind)
    page.goto(f"/jobs/{job.number}/check-in/")
    axe_clean(page)
    fingers_hit(page)
    nothing_hangs_over(page)


def test_the_figures_stay_open_while_answers_are_given(page: Page, counter: Staff) -> None:
    job = described(counter, "Ida Quist")
    page.goto(f"/jobs/{job.number}/check-in/?damage=1")
    page.get_by_text("How this was worked out").click()
    expect(page.locator(".worked")).to_be_visible()
    axe_clean(page)
    page.get_by_role("radio", name="around it").check(force=True)
    expect(page.locator("#verdict")).to_contain_text("around")
    expect(page.locator(".worked")).to_be_visible()


def test_whoever_sees_in_high_contrast_still_sees_what_is_chosen(
    browser: Browser, counter: Staff, context, base_url: str
) -> None:
    job = described(counter, "Ida Quist")
    forced = browser.new_context(forced_colors="active", viewport=TABLET, base_url=base_url)
    forced.add_cookies(context.cookies())
    page = forced.new_page()
    page.goto(f"/jobs/{job.number}/check-in/?damage=1")
    frame = "card => getComputedStyle(card).outlineStyle"
    assert page.locator(".choice > input:checked + span").first.evaluate(frame) == "solid"
    assert page.locator(".choice > input:not(:checked) + span").first.evaluate(frame) == "none"
    forced.close()
