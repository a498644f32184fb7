"""What goes wrong at a counter: the line breaks, fingers tap twice, two tablets answer at once."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, Route, expect

from shoprepair.jobs import damages
from shoprepair.jobs.models import Damage, Job, Photo, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Typed
from tests.browser.conftest import axe_clean
from tests.browser.counter_work import CUT_AT_M, Hands, begun, expect_kept, known_customer, on_screen
from tests.counter.checking_in import picture

pytestmark = pytest.mark.usefixtures("patterns")

GONE = "The line to the shop is gone. Nothing you typed is lost"


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the counter, logged in."""
    log_in(people["counter"])
    return people["counter"]


@pytest.fixture
def expected_complaints(complaints: list[str]):
    """The console names every answer that was refused or never came; nothing else may stand there."""
    yield complaints
    expected = ("Failed to load resource", "htmx:")
    complaints[:] = [words for words in complaints if not words.startswith(expected)]


@pytest.fixture
def trouble(page: Page, expected_complaints: list[str]) -> Page:
    return page


def cut_the_line(route: Route) -> None:
    route.abort("internetdisconnected")


def test_typing_survives_a_lost_line_and_is_sent_again(trouble: Page, counter: Staff) -> None:
    page, job = trouble, begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    Hands(page).say("What is it?", "cut")
    page.route("**/damages/**", cut_the_line)
    page.get_by_label("Length of the cut").fill("35 mm")
    expect(page.get_by_role("alert").filter(has_text=GONE)).to_be_visible()
    axe_clean(page)
    expect(page.get_by_label("Length of the cut")).to_have_value("35 mm")
    assert Damage.objects.get().length_m is None

    page.unroute("**/damages/**")
    page.get_by_role("button", name="Try again").click()
    expect_kept(page, 1, "^35 mm cut")
    expect(page.get_by_text(GONE)).to_be_hidden()
    assert Damage.objects.get().length_typed == "35 mm"


def test_a_pin_tapped_while_the_line_is_gone_is_pinned_once_when_it_is_back(
    trouble: Page, counter: Staff
) -> None:
    page, job = trouble, begun(counter)
    page.goto(f"/jobs/{job.number}/check-in/")
    page.route("**/pin/", cut_the_line)
    Hands(page).tap_drawing(*CUT_AT_M)
    expect(page.get_by_text(GONE)).to_be_visible()
    expect(page.locator(".ghost")).to_have_count(1)
    page.unroute("**/pin/")
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_visible()
    assert Damage.objects.count() == 1


def test_an_answer_that_was_lost_on_its_way_back_is_not_done_twice(trouble: Page, counter: Staff) -> None:
    """The shop has pinned it, but the tablet never heard so: the same tap, sent again, is the same pin."""
    page, job = trouble, begun(counter)
    page.goto(f"/jobs/{job.number}/check-in/")

    def lose_the_answer(route: Route) -> None:
        route.fetch()
        route.abort("connectionreset")

    page.route("**/pin/", lose_the_answer, times=1)
    Hands(page).tap_drawing(*CUT_AT_M)
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_visible()
    assert Damage.objects.count() == 1


def test_checking_in_survives_a_lost_line(trouble: Page, counter: Staff) -> None:
    page, job = trouble, begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    page.get_by_label("Anything else").fill("spare valve")
    page.get_by_label("What the customer says").fill("hit a rock")
    page.get_by_role("checkbox", name="Ida Quist agrees").check(force=True)
    page.route("**/check-in/", cut_the_line)
    page.get_by_role("button", name="Check in and print the tag").click()
    expect(page.get_by_text(GONE)).to_be_visible()
    expect(page.get_by_label("What the customer says")).to_have_value("hit a rock")
    expect(page.get_by_role("checkbox", name="Ida Quist agrees")).to_be_checked()
    page.unroute("**/check-in/")
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", name=re.compile("is checked in"))).to_be_visible()
    job.refresh_from_db()
    assert (job.stage, job.note, job.came_with) == (Stage.CHECKED_IN, "hit a rock", ["spare valve"])


def test_what_comes_through_does_not_hide_what_was_lost(trouble: Page, counter: Staff) -> None:
    page, job = trouble, begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    page.get_by_role("checkbox", name="Ida Quist agrees").check(force=True)
    page.route(f"**/jobs/{job.number}/check-in/", cut_the_line)
    page.get_by_role("button", name="Check in and print the tag").click()
    expect(page.get_by_text(GONE)).to_be_visible()
    with page.expect_response("**/arrival/"):
        page.get_by_label("Anything else").fill("spare valve")
        page.get_by_label("Anything else").blur()
    page.wait_for_timeout(300)
    expect(page.get_by_text(GONE)).to_be_visible()


def test_a_photo_that_did_not_get_through_stays_and_is_sent_again_once(trouble: Page, counter: Staff) -> None:
    page, job = trouble, begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    page.route("**/photos/", cut_the_line)
    photo = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture().read()}
    page.set_input_files("#camera-file", photo)
    failed = page.locator('.photo[data-state="failed"]')
    expect(failed).to_contain_text("The photo is still here.")
    assert failed.locator("img").evaluate("image => image.naturalWidth") == 640
    axe_clean(page)
    page.unroute("**/photos/")
    failed.get_by_role("button", name="Try again").tap()
    expect(page.locator('.photo[data-state="kept"]')).to_have_count(1)
    expect(page.locator("[data-photo-count]")).to_have_text("1")
    assert Photo.objects.count() == 1


def test_a_file_that_is_no_photo_is_named_and_left(trouble: Page, counter: Staff) -> None:
    page, job = trouble, begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    files = [
        {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture().read()},
        {"name": "terms.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.4"},
    ]
    page.set_input_files("#album-file", files)
    expect(page.locator('.photo[data-state="kept"]')).to_have_count(1)
    failed = page.locator('.photo[data-state="failed"]')
    expect(failed).to_contain_text("This file is not a photo")
    expect(failed.get_by_role("button", name="Try again")).to_be_hidden()
    failed.get_by_role("button", name="Leave it").tap()
    expect(failed).to_have_count(0)


def test_a_double_tap_pins_one_damage(page: Page, counter: Staff) -> None:
    job = begun(counter)
    page.goto(f"/jobs/{job.number}/check-in/")
    at = on_screen(page, *CUT_AT_M)
    page.mouse.dblclick(at["x"], at["y"])
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_visible()
    page.wait_for_timeout(300)
    assert Damage.objects.count() == 1


def test_a_tap_counts_though_an_answer_redraws_the_sheet_under_the_finger(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    Hands(page).say("What is it?", "cut")
    page.get_by_label("Length of the cut").fill("35 mm")
    at = on_screen(page, -0.7, 0.2)
    page.mouse.move(at["x"], at["y"])
    page.mouse.down()
    expect_kept(page, 1, "^35 mm cut")
    page.mouse.up()
    expect(page.get_by_role("heading", name=re.compile("Damage 2"))).to_be_visible()


def test_a_double_tap_on_the_gear_begins_one_visit(page: Page, counter: Staff) -> None:
    known_customer(counter)
    page.goto("/check-in/?q=quist")
    page.get_by_role("button", name=re.compile("Holm 5.0 wing")).dblclick()
    expect(page.get_by_role("heading", name="Where is it damaged?")).to_be_visible()
    assert Job.objects.count() == 1


def test_a_double_tap_on_the_last_button_checks_in_once(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    page.get_by_role("checkbox", name="Ida Quist agrees").check(force=True)
    page.get_by_role("button", name="Check in and print the tag").dblclick()
    expect(page.get_by_role("heading", name=re.compile("is checked in"))).to_be_visible()
    assert [entry.verb for entry in journal.entries(job)].count("stage.changed") == 1


def test_going_back_and_tapping_the_gear_again_goes_on_with_the_same_visit(
    page: Page, counter: Staff
) -> None:
    known_customer(counter)
    page.goto("/check-in/?q=quist")
    page.get_by_role("button", name=re.compile("Holm 5.0 wing")).click()
    expect(page.get_by_role("heading", name="Where is it damaged?")).to_be_visible()
    page.go_back()
    page.get_by_role("button", name=re.compile("Holm 5.0 wing")).click()
    expect(page.get_by_role("heading", name="Where is it damaged?")).to_be_visible()
    assert Job.objects.count() == 1


def test_what_is_missing_is_listed_with_a_way_to_it(trouble: Page, counter: Staff) -> None:
    page, job = trouble, begun(counter)
    page.goto(f"/jobs/{job.number}/check-in/")
    page.get_by_role("button", name="Check in and print the tag").click()
    expect(page.get_by_role("link", name="Pin at least one damage.")).to_be_visible()
    expect(page.get_by_role("link", name=re.compile("has not agreed the terms"))).to_be_visible()
    axe_clean(page)
    assert page.context.pages == [page]


def test_a_tap_beside_the_drawing_and_a_slip_of_the_decimal_point_are_said(
    trouble: Page, counter: Staff
) -> None:
    page, job = trouble, begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    box = page.locator("#drawing svg.diagram").bounding_box()
    page.touchscreen.tap(box["x"] + 8, box["y"] + box["height"] - 8)
    expect(page.get_by_role("alert")).to_contain_text("Tap a part of the drawing.")
    hands = Hands(page)
    hands.say("What is it?", "cut")
    page.get_by_label("Length of the cut").fill("3 m")
    expect(page.locator("#error-length")).to_contain_text("Did you mean")
    expect(page.get_by_label("Length of the cut")).to_have_value("3 m")
    expect(page.get_by_label("Length of the cut")).to_have_attribute("aria-invalid", "true")
    axe_clean(page)
    page.get_by_label("Length of the cut").fill("30 mm")
    expect(page.locator("#error-length")).to_be_empty()
    expect_kept(page, 1, "^30 mm cut")


def test_two_tablets_see_each_other_and_neither_loses_its_words(trouble: Page, counter: Staff) -> None:
    page, job = trouble, begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    Hands(page).say("What is it?", "cut")
    damages.answer(Damage.objects.get(), who=counter, length=Typed(0.04, "40 mm"))
    page.get_by_label("Length of the cut").fill("35 mm")
    expect(page.get_by_role("alert")).to_contain_text("Somebody else has changed damage 1 meanwhile")
    expect(page.get_by_role("alert")).to_contain_text("they say 40 mm, here it says 35 mm")
    expect(page.get_by_label("Length of the cut")).to_have_value("35 mm")
    axe_clean(page)
    page.get_by_role("button", name="Keep what it says here").click()
    expect(page.get_by_text("Somebody else has changed")).to_be_hidden()
    expect_kept(page, 1, "^35 mm cut")
    assert Damage.objects.get().length_typed == "35 mm"

    damages.answer(Damage.objects.get(), who=counter, length=Typed(0.06, "60 mm"))
    Hands(page).tap(page.get_by_role("button", name="10 mm"))
    page.get_by_role("link", name="Take theirs").click()
    expect(page.get_by_label("Length of the cut")).to_have_value("60 mm")


def test_somebody_logged_out_meanwhile_is_led_to_the_log_in(trouble: Page, counter: Staff) -> None:
    page, job = trouble, begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    page.context.clear_cookies(name="sessionid")
    # Not `check`, which would look for the radio on a page that is left at once.
    page.get_by_role("radio", name="cut", exact=True).click(force=True, no_wait_after=True)
    expect(page.get_by_label("Password")).to_be_visible()
    assert "next=" in page.url
