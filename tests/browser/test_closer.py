"""Closer to the drawing by fingers, buttons and keys; a damage dragged on its tube; a photo at its place."""

import datetime
import re
from collections.abc import Callable

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, Page, expect

from shoprepair.jobs import damages, photos
from shoprepair.jobs.models import Damage, Job, Photo
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Typed
from tests.browser.conftest import PHONE, axe_clean
from tests.browser.counter_work import CUT_AT_M, Hands, begun, on_screen
from tests.counter.checking_in import picture

pytestmark = pytest.mark.usefixtures("patterns")

At = tuple[float, float]


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the counter, logged in."""
    log_in(people["counter"])
    return people["counter"]


def fingers(page: Page, *steps: list[At]) -> None:
    """Fingers put down at the first of these places, moved over the others, and lifted."""
    line = page.context.new_cdp_session(page)
    for number, places in enumerate(steps):
        points = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(places)]
        kind = "touchMove" if number else "touchStart"
        line.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    line.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def width_m(page: Page) -> float:
    """How much of the drawing is seen."""
    return page.locator("#drawing svg.diagram").evaluate("svg => svg.viewBox.baseVal.width")


def middle(page: Page, selector: str) -> At:
    # Not Playwright's own: a part of an <svg> is no box of the page.
    box = page.locator(selector).evaluate(
        "e => { const b = e.getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2] }"
    )
    return box[0], box[1]


def open_check_in(page: Page, job: Job) -> None:
    page.goto(f"/jobs/{job.number}/check-in/")
    expect(page.get_by_role("button", name="Closer")).to_be_visible()


def spread(page: Page, x_m: float, y_m: float, before_px: float, after_px: float) -> None:
    """Two fingers about a place of the drawing, so far apart before and after."""
    at = on_screen(page, x_m, y_m)

    def pair(apart: float) -> list[At]:
        return [(at["x"] - apart / 2, at["y"]), (at["x"] + apart / 2, at["y"])]

    steps = [before_px + (after_px - before_px) * n / 6 for n in range(7)]
    fingers(page, *(pair(apart) for apart in steps))


def test_two_fingers_come_closer_about_the_place_between_them_and_pin_nothing(
    page: Page, counter: Staff
) -> None:
    job = begun(counter)
    open_check_in(page, job)
    whole = width_m(page)
    before = on_screen(page, *CUT_AT_M)
    spread(page, *CUT_AT_M, 80, 240)
    assert width_m(page) == pytest.approx(whole / 3, rel=0.05)
    after = on_screen(page, *CUT_AT_M)
    assert (after["x"], after["y"]) == (pytest.approx(before["x"], abs=6), pytest.approx(before["y"], abs=6))
    spread(page, *CUT_AT_M, 300, 60)
    assert width_m(page) == pytest.approx(whole)
    page.wait_for_timeout(400)
    assert Damage.objects.count() == 0


def test_a_tap_pins_the_very_point_from_near_and_a_drag_only_moves_the_view(
    page: Page, counter: Staff
) -> None:
    job = begun(counter)
    open_check_in(page, job)
    spread(page, *CUT_AT_M, 60, 300)
    at = on_screen(page, *CUT_AT_M)
    left = page.locator("#drawing svg.diagram").evaluate("svg => svg.viewBox.baseVal.x")
    fingers(page, *([(at["x"] + n * 20, at["y"])] for n in range(6)))
    moved = page.locator("#drawing svg.diagram").evaluate("svg => svg.viewBox.baseVal.x")
    assert moved < left
    page.wait_for_timeout(400)
    assert Damage.objects.count() == 0

    there = (0.34, 0.05)
    Hands(page).tap_drawing(*there)
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_visible()
    damage = Damage.objects.get()
    assert (damage.x_m, damage.y_m) == (pytest.approx(0.34, abs=0.004), pytest.approx(0.05, abs=0.004))
    assert width_m(page) < 2


def test_a_second_tap_at_once_comes_closer_and_pins_nothing(page: Page, counter: Staff) -> None:
    job = begun(counter)
    open_check_in(page, job)
    whole = width_m(page)
    at = on_screen(page, *CUT_AT_M)
    page.clock.install()
    page.clock.pause_at(datetime.datetime.now(datetime.UTC) + datetime.timedelta(minutes=1))
    for _ in range(2):
        fingers(page, [(at["x"], at["y"])])
    assert width_m(page) == pytest.approx(whole / 2, rel=0.01)
    page.clock.run_for(2000)
    page.wait_for_timeout(400)
    assert Damage.objects.count() == 0


def test_buttons_and_keys_come_closer_and_lead_back_to_the_whole(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=1)
    open_check_in(page, job)
    whole = width_m(page)
    expect(page.get_by_role("button", name="Whole")).to_have_attribute("aria-disabled", "true")
    page.get_by_role("button", name="Closer").click()
    page.get_by_role("button", name="Closer").click()
    assert width_m(page) == pytest.approx(whole / 4, rel=0.01)
    knot = page.locator("#drawing .knots circle").bounding_box()
    sheet = page.locator("#drawing svg.diagram").bounding_box()
    assert knot
    assert sheet
    assert sheet["x"] < knot["x"] < sheet["x"] + sheet["width"]
    axe_clean(page)
    page.get_by_role("button", name="Whole").click()
    assert width_m(page) == pytest.approx(whole)

    page.locator('[data-region="edge-right-1"]').focus()
    page.keyboard.press("+")
    page.keyboard.press("+")
    page.keyboard.press("+")
    assert width_m(page) == pytest.approx(whole / 8, rel=0.01)
    page.keyboard.press("ArrowRight")
    part = page.locator('[data-region="edge-right-2"]')
    expect(part).to_be_focused()
    at = on_screen(page, *(float(part.get_attribute(f"data-{axis}")) for axis in "xy"))
    assert sheet["x"] < at["x"] < sheet["x"] + sheet["width"]
    page.keyboard.press("-")
    assert width_m(page) == pytest.approx(whole / 4, rel=0.01)
    page.keyboard.press("0")
    assert width_m(page) == pytest.approx(whole)


def test_tags_keep_their_size_from_near_and_stay_so_when_pins_are_drawn_anew(
    page: Page, counter: Staff
) -> None:
    job = begun(counter, pinned=1)
    open_check_in(page, job)
    tag = page.locator('#drawing [data-pin="1"]')
    before = tag.bounding_box()
    page.get_by_role("button", name="Closer").click()
    page.get_by_role("button", name="Closer").click()
    Hands(page).say("What is it?", "cut")
    after = tag.bounding_box()
    assert before
    assert after
    assert after["width"] == pytest.approx(before["width"], rel=0.1)
    assert width_m(page) < 2


# The tube rolled out


@pytest.fixture
def cut(counter: Staff) -> Damage:
    """A cut of 40 mm whose face and direction nobody has said."""
    job = begun(counter, pinned=1)
    found = damages.live(job)[0]
    damages.answer(found, who=counter, kind="cut", length=Typed(0.04, "40 mm"))
    return found


def answers(damage: Damage) -> tuple[str, str, float | None]:
    damage.refresh_from_db()
    return damage.face, damage.direction, damage.angle_deg


def drag(page: Page, selector: str, to: At) -> None:
    """Hold a part of the tube and let it go elsewhere, and wait until the shop has kept it."""
    x, y = middle(page, selector)
    steps = [(x + (to[0] - x) * n / 5, y + (to[1] - y) * n / 5) for n in range(6)]
    with page.expect_response(lambda response: "/damages/" in response.url):
        fingers(page, *([at] for at in steps))


def band(page: Page, name: str) -> At:
    page.locator("#roll").scroll_into_view_if_needed()
    return middle(page, f'#roll [data-band="{name}"]')


def test_face_and_direction_dragged_are_those_that_taps_say(page: Page, cut: Damage) -> None:
    open_check_in(page, cut.job)
    grip, turn = "[data-roll-grip]", "[data-roll-turn]"
    drag(page, grip, band(page, "underside"))
    assert answers(cut)[0] == "underside"
    expect(page.locator("[data-roll-words]")).to_have_text(
        re.compile(r"^40\smm cut, underside, leading edge, 2\d\d\smm right of centre$")
    )
    x, y = middle(page, grip)
    drag(page, turn, (x, y - 70))
    expect(page.locator("[data-roll-words]")).to_contain_text("40 mm cut around, underside")
    dragged = answers(cut)
    assert dragged == ("underside", "around", None)

    x, y = middle(page, grip)
    drag(page, turn, (x + 60, y - 60))
    expect(page.get_by_role("group", name="How steep").get_by_role("radio", name="45°")).to_be_checked()
    assert answers(cut) == ("underside", "at an angle", 45)

    hands = Hands(page)
    hands.say("Runs", "around it")
    hands.say("Where around the tube", "front")
    assert answers(cut)[:2] == ("front", "around")
    hands.say("Where around the tube", "underside")
    assert answers(cut)[:2] == dragged[:2]
    expect(page.locator("[data-roll-words]")).to_contain_text("40 mm cut around, underside")


def test_a_tap_on_a_band_says_the_face_and_a_swipe_says_nothing(page: Page, cut: Damage) -> None:
    open_check_in(page, cut.job)
    x, y = band(page, "back")
    with page.expect_response(lambda response: "/damages/" in response.url):
        page.touchscreen.tap(x + 120, y)
    expect(
        page.get_by_role("group", name="Where around the tube").get_by_role("radio", name="back", exact=True)
    ).to_be_checked()
    assert answers(cut)[0] == "back"
    x, y = band(page, "front")
    fingers(page, *([(x + 120, y - 15 * n)] for n in range(6)))
    page.wait_for_timeout(300)
    assert answers(cut)[0] == "back"


def test_by_keys_alone_it_is_moved_to_a_face_and_turned(page: Page, cut: Damage) -> None:
    open_check_in(page, cut.job)
    where, runs = (
        page.get_by_role("slider", name="Where around the tube"),
        page.get_by_role("slider", name="How it runs"),
    )
    where.focus()
    for key, face in (("ArrowDown", "top"), ("ArrowDown", "back"), ("End", "underside")):
        with page.expect_response(lambda response: "/damages/" in response.url):
            page.keyboard.press(key)
        expect(where).to_have_attribute("aria-valuetext", face)
        assert answers(cut)[0] == face
    runs.focus()
    with page.expect_response(lambda response: "/damages/" in response.url):
        page.keyboard.press("Home")
    with page.expect_response(lambda response: "/damages/" in response.url):
        page.keyboard.press("ArrowUp")
    expect(runs).to_have_attribute("aria-valuetext", re.compile("15°"))
    expect(runs).to_be_focused()
    with page.expect_response(lambda response: "/damages/" in response.url):
        page.keyboard.press("ArrowUp")
    expect(runs).to_have_attribute("aria-valuenow", "30")
    assert answers(cut) == ("underside", "at an angle", 30)
    axe_clean(page)


def test_the_drawn_damage_grows_with_its_length(page: Page, cut: Damage) -> None:
    open_check_in(page, cut.job)
    long = "length => document.querySelector('[data-roll-body] .roll-torn').getBBox().width === length"
    page.wait_for_function(long, arg=40)
    with page.expect_response(lambda response: "/damages/" in response.url):
        page.get_by_role("button", name="100 mm").click()
    expect(page.locator("[data-roll-words]")).to_contain_text("100 mm cut")
    page.wait_for_function(long, arg=100)


def test_without_a_script_the_tube_is_drawn_and_the_questions_say_it(
    browser: Browser, base_url: str, people: dict[str, Staff], cut: Damage
) -> None:
    client = Client()
    client.force_login(people["counter"])
    context = browser.new_context(java_script_enabled=False, base_url=base_url)
    context.add_cookies(
        [
            {
                "name": settings.SESSION_COOKIE_NAME,
                "value": client.cookies[settings.SESSION_COOKIE_NAME].value,
                "url": base_url,
            }
        ]
    )
    page = context.new_page()
    page.goto(f"/jobs/{cut.job.number}/check-in/")
    expect(page.get_by_role("button", name="Closer")).to_be_hidden()
    expect(page.locator("#roll .roll-torn").first).to_be_visible()
    page.get_by_role("radio", name="underside").check(force=True)
    page.get_by_role("button", name="Save the answers").click()
    assert answers(cut)[0] == "underside"
    expect(page.locator("[data-roll-words]")).to_contain_text("40 mm cut, underside")
    context.close()


# Photos at their place


@pytest.fixture
def photo(counter: Staff) -> Photo:
    return photos.keep(begun(counter), picture(), who=counter, caption="The tip")


def test_a_photo_is_pinned_by_a_tap_found_again_and_taken_off(
    page: Page, photo: Photo, complaints: list[str]
) -> None:
    hands = Hands(page)
    open_check_in(page, photo.job)
    hands.tap(page.get_by_role("link", name="Pin to a place"))
    expect(page.get_by_role("heading", name="Where was this photo taken?")).to_be_visible()
    axe_clean(page)
    hands.tap_drawing(-0.6, 0.09)
    expect(page.get_by_text("The photo is pinned to its place.")).to_be_visible()
    photo.refresh_from_db()
    assert (photo.x_m, photo.y_m) == (pytest.approx(-0.6, abs=0.01), pytest.approx(0.09, abs=0.01))
    assert Damage.objects.count() == 0
    section = page.locator("#photos")
    expect(section).to_contain_text(re.compile("leading edge, 6\\d\\d\\smm left of centre"))
    axe_clean(page)

    mark = page.locator("#drawing").get_by_role("link", name=re.compile("Photo: leading edge"))
    expect(mark).to_have_attribute("href", f"/photos/{photo.key}/large.jpg")
    page.locator("#drawing").scroll_into_view_if_needed()
    x, y = middle(page, "#drawing .photo-lens")
    page.touchscreen.tap(x, y)
    page.wait_for_url(f"**/photos/{photo.key}/large.jpg")
    complaints.clear()  # The browser's own page about a picture has a style of its own.
    assert Damage.objects.count() == 0

    page.goto(f"/jobs/{photo.job.number}/")
    expect(page.locator(".photo-mark")).to_have_count(1)
    expect(page.locator("#photos")).to_contain_text("left of centre")

    open_check_in(page, photo.job)
    hands.tap(page.get_by_role("button", name="Unpin"))
    expect(page.locator(".photo-mark")).to_have_count(0)
    hands.tap(page.get_by_role("button", name="Put it back there"))
    expect(page.locator(".photo-mark")).to_have_count(1)
    assert journal.entries(photo.job).filter(verb="photo.placed").count() == 0  # Still being written down.


def test_on_a_phone_nothing_is_wider_than_the_screen(page: Page, cut: Damage) -> None:
    page.set_viewport_size(PHONE)
    open_check_in(page, cut.job)
    page.get_by_role("button", name="Closer").tap()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    for name in ("Closer", "Whole"):
        box = page.get_by_role("button", name=name).bounding_box()
        assert box
        assert min(box["height"], box["width"]) >= 48
