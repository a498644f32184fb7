"""The counter's job in a real browser, on the tablet, from the customer's name to the printed papers."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from shoprepair.jobs.models import Customer, Damage, Job, Stage
from shoprepair.shop.models import Staff
from tests.browser.conftest import axe_clean
from tests.browser.counter_work import (
    CUT_AT_M,
    Hands,
    begun,
    codes_of,
    expect_kept,
    known_customer,
    on_screen,
    text_of,
)
from tests.counter.checking_in import picture

pytestmark = pytest.mark.usefixtures("patterns")

MOST_TAPS = 14


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the counter, logged in."""
    log_in(people["counter"])
    return people["counter"]


def fetched(page: Page, address: str, file: Path) -> Path:
    answer = page.request.get(address)
    assert answer.ok
    assert answer.headers["content-type"] == "application/pdf"
    file.write_bytes(answer.body())
    return file


def test_a_returning_customer_with_one_damage_takes_fourteen_taps_at_most(
    page: Page, counter: Staff, base_url: str, tmp_path: Path
) -> None:
    known_customer(counter)
    hands = Hands(page)
    page.goto("/")
    hands.tap(page.get_by_role("link", name="Check in").first)
    expect(page.get_by_role("searchbox", name="Who is it?")).to_be_focused()
    axe_clean(page)
    page.keyboard.type("quis")
    hands.tap(page.get_by_role("button", name=re.compile("Holm 5.0 wing")))

    expect(page.get_by_role("heading", name="Where is it damaged?")).to_be_visible()
    axe_clean(page)
    hands.tap_drawing(*CUT_AT_M)
    expect(
        page.get_by_role("heading", name=re.compile("Damage 1 leading edge, 30. mm right"))
    ).to_be_visible()
    hands.say("What is it?", "cut")
    with page.expect_response(lambda response: "/damages/" in response.url):
        hands.tap(page.get_by_role("button", name="50 mm"))
    hands.say("Runs", "along the tube")
    hands.say("Where around the tube", "front")
    hands.say("Through the bladder?", "yes")
    hands.say("Old patch or glue here?", "no")
    hands.say("Wet or sandy here?", "no")
    hands.say("Cloth around it", "faded")
    verdict = page.get_by_role("region", name="How dangerous it is")
    expect(verdict).to_contain_text("Grounded")
    expect(verdict).to_contain_text("Runs from")
    axe_clean(page)

    page.set_input_files(
        "#camera-file", {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture().read()}
    )
    expect(page.locator('.photo[data-state="kept"]')).to_have_count(1)

    hands.tap(page.get_by_role("checkbox", name="Ida Quist agrees"))
    with page.context.expect_page() as tag:
        hands.tap(page.get_by_role("button", name="Check in and print the tag"))
    expect(page.get_by_role("heading", name=re.compile("is checked in"))).to_be_visible()
    axe_clean(page)
    assert hands.taps <= MOST_TAPS

    job = Job.objects.get()
    assert tag.value.url in ("about:blank", "", f"{base_url}/jobs/{job.number}/bag-tag.pdf")
    damage, photo = job.damages.get(), job.photos.get()
    assert (job.stage, photo.damage) == (Stage.CHECKED_IN, damage)
    assert (damage.kind, damage.length_typed, damage.face, damage.condition) == (
        "cut",
        "50 mm",
        "front",
        "faded",
    )

    order = fetched(page, f"/jobs/{job.number}/work-order.pdf", tmp_path / "order.pdf")
    bag_tag = fetched(page, f"/jobs/{job.number}/bag-tag.pdf", tmp_path / "tag.pdf")
    for paper in (order, bag_tag):
        assert str(job) in text_of(paper)
        assert codes_of(paper) == [f"{base_url}/jobs/{job.number}/"]
    assert "Holm 5.0 wing" in text_of(order)
    assert "Grounded" in text_of(order)
    assert "50 mm" in text_of(order)
    page.goto(codes_of(bag_tag)[0])
    expect(page.get_by_role("heading", level=1)).to_contain_text(str(job))


def test_a_new_customer_with_gear_that_nobody_knows_is_taken_in(page: Page, counter: Staff) -> None:
    hands = Hands(page)
    page.goto("/check-in/")
    expect(page.get_by_role("searchbox", name="Who is it?")).to_be_focused()
    page.keyboard.type("Oda Tveit")
    expect(page.get_by_text("Nobody by")).to_be_visible()
    hands.tap(page.get_by_role("link", name="Add a customer"))
    expect(page.get_by_label("Name")).to_have_value("Oda Tveit")
    page.get_by_label("Phone").fill("+1 555 0177")
    axe_clean(page)
    hands.tap(page.get_by_role("button", name="Add, then choose the gear"))

    page.get_by_role("radio", name="None of these").check(force=True)
    for label, figure in {
        "Struts": "3",
        "Span": "3.4 m",
        "Tube across, at the centre": "230",
        "Tube across, at the tip": "110",
        "Rated pressure": "7 psi",
    }.items():
        page.get_by_label(label).fill(figure)
    axe_clean(page)
    hands.tap(page.get_by_role("button", name="Begin the check-in"))
    expect(page.get_by_role("heading", name="Where is it damaged?")).to_be_visible()
    assert Customer.objects.get().jobs.get().inflatable.pattern.rated_pressure_typed == "7 psi"


def test_a_ghost_marks_the_tap_before_the_shop_has_answered(page: Page, counter: Staff) -> None:
    job = begun(counter)
    page.goto(f"/jobs/{job.number}/check-in/")
    held: list = []
    page.route("**/pin/", lambda route: held.append(route))
    with page.expect_request("**/pin/"):
        Hands(page).tap_drawing(*CUT_AT_M)
        assert page.locator(".ghost").evaluate("ghost => ghost.getBoundingClientRect().width") > 20
    page.wait_for_timeout(100)
    assert not Damage.objects.exists()
    held[0].continue_()
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_focused()
    expect(page.locator(".ghost")).to_have_count(0)
    # Swapped in as plain HTML a pin would be there, and be nowhere to be seen.
    assert page.locator("[data-pin='1'] rect").evaluate("tag => tag.getBoundingClientRect().width") > 10


def test_a_pin_stands_where_the_finger_was(page: Page, counter: Staff) -> None:
    job = begun(counter)
    page.goto(f"/jobs/{job.number}/check-in/")
    Hands(page).tap_drawing(-0.7, 0.2)
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_visible()
    damage = Damage.objects.get()
    assert damage.x_m == pytest.approx(-0.7, abs=0.006)
    assert damage.y_m == pytest.approx(0.2, abs=0.006)
    knot = page.locator(".knots circle").bounding_box()
    at = on_screen(page, -0.7, 0.2)
    assert knot["x"] + knot["width"] / 2 == pytest.approx(at["x"], abs=2)


def test_a_damage_is_pinned_by_the_keyboard_alone(page: Page, counter: Staff) -> None:
    job = begun(counter)
    page.goto(f"/jobs/{job.number}/check-in/")
    first = page.locator("#drawing [data-region][tabindex='0']")
    expect(first).to_have_count(1)
    first.focus()
    left = first.get_attribute("aria-label")
    page.keyboard.press("ArrowRight")
    here = page.locator("#drawing [data-region]:focus")
    assert here.get_attribute("aria-label") != left
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_focused()
    cut = page.get_by_role("radio", name="cut", exact=True)
    cut.focus()
    page.keyboard.press("Space")
    expect(page.get_by_label("Length of the cut")).to_be_visible()
    expect(cut).to_be_focused()
    page.get_by_label("Length of the cut").fill("35")
    page.keyboard.press("Enter")
    expect_kept(page, 1, "^35 mm cut")
    assert Damage.objects.get().length_typed == "35 mm"


def test_a_length_is_stepped_typed_or_taken_from_the_usual_ones(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    hands = Hands(page)
    hands.say("What is it?", "cut")
    length = page.get_by_label("Length of the cut")
    hands.tap(page.get_by_role("button", name="25 mm"))
    expect(length).to_have_value("25 mm")
    hands.tap(page.get_by_role("button", name="Longer"))
    expect(length).to_have_value("30 mm")
    hands.tap(page.get_by_role("button", name="Shorter"))
    hands.tap(page.get_by_role("button", name="Shorter"))
    expect(length).to_have_value("20 mm")
    length.fill("1 3/8 in")
    expect_kept(page, 1, "^35 mm cut")
    expect(length).to_have_value("1 3/8 in")
    assert Damage.objects.get().length_typed == "1 3/8 in"


def test_a_pin_is_moved_removed_and_brought_back(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=1)
    page.goto(f"/jobs/{job.number}/check-in/")
    hands = Hands(page)
    hands.tap(page.get_by_role("link", name="Move the pin"))
    expect(page.get_by_text("Tap where damage 1 really is.")).to_be_visible()
    hands.tap_drawing(-0.7, 0.2)
    expect(page.get_by_role("heading", name=re.compile("left of centre"))).to_be_visible()
    assert Damage.objects.get().side == "left"

    hands.tap(page.get_by_role("button", name=re.compile("^Remove")))
    expect(page.get_by_text("Damage 1 is removed.")).to_be_visible()
    axe_clean(page)
    hands.tap(page.get_by_role("button", name="Bring it back"))
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_visible()


def test_a_tap_on_a_tag_or_a_tab_opens_that_damage(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=2)
    page.goto(f"/jobs/{job.number}/check-in/")
    hands = Hands(page)
    expect(page.get_by_role("heading", name=re.compile("Damage 2"))).to_be_visible()
    hands.tap(page.locator("[data-pin='1'] rect"))
    expect(page.get_by_role("heading", name=re.compile("Damage 1"))).to_be_visible()
    hands.tap(page.locator("[data-tab='2']"))
    expect(page.get_by_role("heading", name=re.compile("Damage 2"))).to_be_visible()
    expect(page).to_have_url(re.compile(r"damage=2$"))
    assert Damage.objects.count() == 2


def test_the_camera_opens_beside_a_damage_and_its_photo_is_tied_to_it(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=2)
    page.goto(f"/jobs/{job.number}/check-in/?damage=1")
    hands = Hands(page)
    page.get_by_role("radio", name="the whole inflatable").check(force=True)
    with page.expect_file_chooser() as camera:
        hands.tap(page.get_by_role("link", name="Photograph it"))
    photo = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture().read()}
    camera.value.set_files([photo, photo])
    kept = page.locator('.photo[data-state="kept"]')
    expect(kept).to_have_count(2)
    expect(kept.first).to_contain_text("damage 1")
    assert {photo.damage.number for photo in job.photos.all()} == {1}
    axe_clean(page)

    hands.tap(kept.first.get_by_role("button", name="Remove"))
    expect(page.locator("[data-photo-count]")).to_have_text("1")
    hands.tap(page.get_by_role("button", name="Bring it back"))
    expect(page.locator("[data-photo-count]")).to_have_text("2")


def test_of_many_damages_the_one_a_photo_shows_is_chosen_out_of_a_list(page: Page, counter: Staff) -> None:
    job = begun(counter, pinned=9)
    page.goto(f"/jobs/{job.number}/check-in/?damage=1")
    shown = page.get_by_label("The next photos show")
    shown.select_option("The whole inflatable")
    with page.expect_file_chooser() as camera:
        Hands(page).tap(page.get_by_role("link", name="Photograph it"))
    expect(shown).to_have_value("1")
    photo = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture().read()}
    camera.value.set_files([photo])
    expect(page.locator('.photo[data-state="kept"]')).to_contain_text("damage 1")
    assert [photo.damage.number for photo in job.photos.all()] == [1]
    axe_clean(page)


def test_without_a_script_the_whole_job_is_done_by_links_and_forms(
    browser: Browser, counter: Staff, context, base_url: str
) -> None:
    known_customer(counter)
    plain = browser.new_context(java_script_enabled=False, base_url=base_url)
    plain.add_cookies(context.cookies())
    page = plain.new_page()
    page.goto("/check-in/")
    page.get_by_role("searchbox", name="Who is it?").fill("quist")
    page.get_by_role("button", name="Find").click()
    page.get_by_role("button", name=re.compile("Holm 5.0 wing")).click()
    page.wait_for_load_state()
    page.get_by_role("link", name=re.compile("Leading edge right, second segment")).click(force=True)
    page.get_by_role("radio", name="cut", exact=True).check(force=True)
    page.get_by_role("button", name="Pin it here").click()
    page.get_by_role("button", name="25 mm").click()
    page.get_by_role("radio", name="along the tube").check(force=True)
    page.get_by_role("button", name="Save the answers").click()
    expect(page.get_by_role("region", name="How dangerous it is")).to_contain_text("λ")
    photo = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture().read()}
    page.set_input_files("#album-file", photo)
    page.get_by_role("button", name="Send the photos").click()
    page.get_by_role("checkbox", name="bag").check(force=True)
    page.get_by_role("checkbox", name=re.compile("agrees")).check(force=True)
    page.get_by_role("button", name="Check in and print the tag").click()
    expect(page.get_by_role("link", name=re.compile("Print the tag"))).to_be_visible()
    job = Job.objects.get()
    assert (job.stage, job.came_with, job.photos.count()) == (Stage.CHECKED_IN, ["bag"], 1)
    assert (job.damages.get().length_typed, job.damages.get().direction) == ("25 mm", "along")
    plain.close()
