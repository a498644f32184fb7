"""The job sheet in a real browser: stages, holds and corrections by touch and by key."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from shoprepair.jobs import damages
from shoprepair.jobs.models import Customer, Job, Stage
from shoprepair.shop.models import Staff
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.visits import visit

pytestmark = pytest.mark.usefixtures("patterns")


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the counter, logged in."""
    log_in(people["counter"])
    return people["counter"]


@pytest.fixture
def job(counter: Staff) -> Job:
    """A wing with a cut, checked in."""
    return visit(counter, "Oda Tveit")


def head(page: Page):
    return page.locator(".job-head")


def test_a_step_is_taken_by_one_tap_and_stands_in_the_journal(page: Page, job: Job) -> None:
    page.goto("/")
    page.locator("#rail > .row").get_by_role("link", name=re.compile("Assess the damage")).tap()

    head(page).get_by_role("button", name="Assessment is done").tap()

    expect(page.get_by_role("status").filter(has_text="The job is at “Assessed”.")).to_be_visible()
    expect(head(page).locator("[aria-current=step]")).to_have_text("Assessed")
    newest = page.locator(".journal > li").first
    expect(newest).to_contain_text("Assessment is done.")
    expect(newest.locator("del")).to_have_text("Checked in")
    expect(newest.locator("ins")).to_have_text("Assessed")


def test_a_step_that_lacks_something_says_what_and_leads_there(page: Page, job: Job, counter: Staff) -> None:
    damages.pin(job, -0.4, 0.03, who=counter)
    page.goto(job.get_absolute_url())

    expect(head(page)).to_contain_text("Answer the questions of damage 2.")
    expect(head(page).get_by_role("button", name="Assessment is done")).to_have_count(0)
    head(page).get_by_role("link", name="Answer the questions").tap()
    expect(page).to_have_url(re.compile("/check-in/"))


def test_a_step_refused_meanwhile_says_what_is_missing_and_loses_nothing(
    page: Page, job: Job, counter: Staff, complaints: list[str]
) -> None:
    page.goto(job.get_absolute_url())
    damages.pin(job, -0.4, 0.03, who=counter)

    head(page).get_by_role("button", name="Assessment is done").tap()

    expect(page.get_by_role("alert").filter(has_text="Answer the questions of damage 2.")).to_be_visible()
    expect(page.locator("#damage-2")).to_be_visible()
    job.refresh_from_db()
    assert job.stage == Stage.CHECKED_IN
    complaints.clear()  # the browser notes the 422 by itself


def test_a_double_tap_on_a_step_takes_one(page: Page, job: Job) -> None:
    page.goto(job.get_absolute_url())

    head(page).get_by_role("button", name="Assessment is done").dblclick()

    expect(page.locator(".journal > li").filter(has_text="Assessment is done.")).to_have_count(1)
    job.refresh_from_db()
    assert job.stage == Stage.ASSESSED


def test_what_waits_says_for_what(page: Page, job: Job) -> None:
    page.goto(job.get_absolute_url())

    page.get_by_role("radio", name="Waiting for parts").check(force=True)
    page.get_by_label("For what").fill("valve ordered")
    page.get_by_role("button", name="Keep this hold").tap()

    expect(head(page)).to_contain_text("Waiting for parts")
    expect(page.get_by_label("For what")).to_have_value("valve ordered")


def test_a_correction_keeps_the_old_value_in_the_journal(page: Page, job: Job) -> None:
    page.goto(job.get_absolute_url())

    page.get_by_role("link", name="Correct the customer").tap()
    page.get_by_label("Phone").fill("+1 555 0199")
    page.get_by_role("button", name="Keep the correction").tap()

    expect(page).to_have_url(re.compile(r"/jobs/\d+/#facts$"))
    expect(page.get_by_role("link", name="+1 555 0199")).to_be_visible()
    newest = page.locator(".journal > li").first
    expect(newest.locator("del")).to_have_text("+1 555 0134")
    expect(newest.locator("ins")).to_have_text("+1 555 0199")


def test_a_correction_over_somebody_elses_keeps_what_was_typed(
    page: Page, job: Job, complaints: list[str]
) -> None:
    page.goto(f"{job.get_absolute_url()}correct/?what=customer")
    page.get_by_label("Name").fill("Oda Tveitan")
    Customer.objects.update(phone="+1 555 0777", version=7)

    page.get_by_role("button", name="Keep the correction").tap()
    expect(page.get_by_role("alert")).to_contain_text("Somebody has corrected this while you were writing.")
    expect(page.get_by_text("+1 555 0777")).to_be_visible()
    expect(page.get_by_label("Name")).to_have_value("Oda Tveitan")
    axe_clean(page)
    complaints.clear()  # the browser notes the 422 by itself


def test_the_arithmetic_opens_on_request(page: Page, job: Job) -> None:
    page.goto(job.get_absolute_url())
    steps = page.locator("#damage-1 .steps")
    expect(steps).to_be_hidden()

    page.locator("#damage-1").get_by_text("How this was worked out").tap()

    expect(steps).to_be_visible()
    expect(steps.get_by_text("assumed").first).to_be_visible()


def test_a_tag_on_the_drawing_leads_to_its_damage(page: Page, job: Job) -> None:
    page.goto(job.get_absolute_url())

    page.locator('.drawing .pin[data-pin="1"]').tap()

    expect(page).to_have_url(re.compile("#damage-1$"))


def test_a_removed_damage_is_put_back(page: Page, job: Job) -> None:
    page.goto(job.get_absolute_url())

    page.get_by_role("button", name="Remove damage 1").tap()
    expect(page.get_by_role("heading", name="No damage is pinned yet")).to_be_visible()
    page.get_by_role("button", name="Put back damage 1").tap()

    expect(page.locator("#damage-1")).to_be_visible()


def test_a_photo_is_kept_shown_removed_and_put_back(page: Page, job: Job, tmp_path) -> None:
    from PIL import Image

    Image.new("RGB", (900, 600), "teal").save(tmp_path / "tear.jpg")
    page.goto(job.get_absolute_url())

    page.get_by_label("Add a photo").set_input_files(tmp_path / "tear.jpg")
    page.get_by_label("What it shows").fill("The cut from above")
    page.get_by_role("button", name="Keep the photo").tap()
    photo = page.locator("#photos").get_by_role("img", name="The cut from above")
    expect(photo).to_be_visible()
    assert photo.evaluate("(img) => img.decode().then(() => img.naturalWidth)") == 400

    page.get_by_role("button", name="Remove The cut from above").tap()
    expect(photo).to_have_count(0)
    page.get_by_role("button", name="Put back The cut from above").tap()
    expect(photo).to_be_visible()


def test_the_sheet_is_worked_by_keys_alone(page: Page, job: Job) -> None:
    page.goto(job.get_absolute_url())
    step = head(page).get_by_role("button", name="Assessment is done")
    for _ in range(30):
        page.keyboard.press("Tab")
        if step.evaluate("(el) => el === document.activeElement"):
            break
    expect(step).to_be_focused()

    page.keyboard.press("Enter")

    expect(head(page).locator("[aria-current=step]")).to_have_text("Assessed")


def test_without_a_script_a_step_and_a_hold_are_kept(
    browser: Browser, context, base_url: str, job: Job
) -> None:
    bare = browser.new_context(java_script_enabled=False, base_url=base_url, viewport=TABLET)
    bare.add_cookies(context.cookies())
    page = bare.new_page()
    page.goto(job.get_absolute_url())

    head(page).get_by_role("button", name="Assessment is done").click()
    expect(page.get_by_role("status").filter(has_text="The job is at “Assessed”.")).to_be_visible()
    page.get_by_role("radio", name="Drying").check(force=True)
    page.get_by_role("button", name="Keep this hold").click()
    expect(head(page)).to_contain_text("Drying")
    bare.close()


@pytest.mark.parametrize(("screen", "theme"), [(TABLET, "dark"), (PHONE, "light")])
def test_the_sheet_shuts_nobody_out(
    page: Page, job: Job, counter: Staff, screen: dict[str, int], theme: str
) -> None:
    damages.pin(job, -0.4, 0.03, who=counter)
    page.set_viewport_size(screen)
    page.emulate_media(color_scheme=theme)
    here = job.get_absolute_url()
    for path in (here, *(f"{here}correct/?what={what}" for what in ("job", "customer", "inflatable"))):
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        axe_clean(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path


@pytest.mark.parametrize("size", [PHONE, TABLET])
def test_no_tag_lies_on_another_however_large_a_screen_shows_them(
    page: Page, job: Job, counter: Staff, size: dict[str, int]
) -> None:
    for n in range(11):
        damages.pin(job, -0.5 + 0.03 * n, 0.5 + 0.02 * (n % 3), who=counter)
    page.set_viewport_size(size)
    page.goto(job.get_absolute_url())

    tags = page.locator(".drawing .pin rect")
    expect(tags).to_have_count(12)
    boxes = tags.evaluate_all(
        """all => all.map(tag => {
          const {left, top, right, bottom} = tag.getBoundingClientRect();
          return [left, top, right, bottom];
        })"""
    )
    for n, (left, top, right, bottom) in enumerate(boxes):
        for across, down, far, low in boxes[n + 1 :]:
            assert left >= far or across >= right or top >= low or down >= bottom
