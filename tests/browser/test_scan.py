"""The camera reads a tag: a link of this shop is opened, a number is searched for, all else is refused."""

from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import BrowserContext, Page, expect

from shoprepair.jobs import links
from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff
from tests.browser.conftest import PHONE, axe_clean
from tests.browser.counter_work import begun
from tests.work.stocking import a_lot, a_material, a_repair, a_step, agreed_for

READER = """
window.seen = [];
window.BarcodeDetector = class {
  static async getSupportedFormats() { return ["qr_code", "code_128"]; }
  async detect(video) { return video.readyState > 1 ? window.seen.map(text => ({ rawValue: text })) : []; }
};
const open = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
window.streams = [];
navigator.mediaDevices.getUserMedia = async wanted => {
  window.wanted = wanted;
  const stream = await open(wanted);
  window.streams.push(stream);
  return stream;
};
"""
REFUSED = "navigator.mediaDevices.getUserMedia = async () => { throw new DOMException('', '%s'); };"
LIVE = "streams.filter(stream => stream.getTracks().some(track => track.readyState === 'live')).length"
FOREIGN = "This is no code of this shop."


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    log_in(people["counter"])
    return people["counter"]


@pytest.fixture
def job(patterns: None, counter: Staff) -> Job:
    return begun(counter)


@pytest.fixture
def reading(context: BrowserContext) -> None:
    """A browser that reads codes, and a camera that it may use."""
    context.add_init_script(READER)


def scan(page: Page, path: str, within: str = ".bar") -> None:
    page.goto(path)
    page.locator(within).get_by_role("button", name="Scan").click()
    expect(page.get_by_role("dialog")).to_contain_text("inside the frame")


def show(page: Page, text: str) -> None:
    """Hold a code before the camera."""
    page.evaluate("text => { window.seen = [text]; }", text)


@pytest.mark.usefixtures("reading")
def test_the_tag_of_a_job_opens_its_sheet_and_the_camera_goes_out(
    page: Page, job: Job, base_url: str
) -> None:
    scan(page, "/")
    assert page.evaluate("wanted.video.facingMode.ideal") == "environment"
    assert page.evaluate("wanted.audio") is False
    axe_clean(page)
    show(page, f"{base_url}{job.get_absolute_url()}")
    page.wait_for_url(f"**{job.get_absolute_url()}")


@pytest.mark.usefixtures("reading")
def test_at_the_bench_the_same_tag_opens_the_steps(page: Page, job: Job, base_url: str) -> None:
    scan(page, "/bench/")
    show(page, f"{base_url}{job.get_absolute_url()}")
    page.wait_for_url(f"**/bench/jobs/{job.number}/")


@pytest.mark.usefixtures("reading")
def test_a_customers_link_leads_the_shop_to_the_job(
    page: Page, counter: Staff, job: Job, base_url: str
) -> None:
    link = links.make(job, who=counter)
    scan(page, "/")
    show(page, links.url(link, base_url))
    page.wait_for_url(f"**{job.get_absolute_url()}")


@pytest.mark.usefixtures("reading")
def test_a_number_is_filled_in_and_searched_for(page: Page, job: Job) -> None:
    scan(page, "/")
    show(page, str(job))
    page.wait_for_url(f"**/search/?q={job}")
    expect(page.locator("#found")).to_contain_text(job.customer.name)


@pytest.mark.usefixtures("reading")
def test_the_check_in_searches_on_its_own_page(page: Page, job: Job) -> None:
    scan(page, "/check-in/", within=".finder")
    show(page, job.inflatable.serial)
    expect(page.locator("#find")).to_have_value(job.inflatable.serial)
    expect(page.locator("#find")).to_be_focused()
    expect(page.locator("#found")).to_contain_text(job.customer.name)


@pytest.mark.usefixtures("reading", "job")
@pytest.mark.parametrize(
    "text",
    [
        "https://elsewhere.example/jobs/1/",
        "javascript:alert(1)",
        "mailto:somebody@example.com",
        "https://",
    ],
)
def test_no_code_of_anybody_else_is_opened(page: Page, text: str) -> None:
    scan(page, "/")
    show(page, text)
    expect(page.get_by_role("dialog").get_by_role("status")).to_have_text(FOREIGN)
    assert page.evaluate("location.pathname") == "/"
    page.wait_for_function(f"{LIVE} === 1")


@pytest.mark.usefixtures("reading", "job")
def test_a_path_with_two_strokes_leads_to_no_other_host(
    page: Page, base_url: str, complaints: list[str]
) -> None:
    scan(page, "/")
    show(page, f"{base_url}//elsewhere.example/")
    page.wait_for_url(f"{base_url}//elsewhere.example/")
    complaints.clear()


@pytest.mark.usefixtures("reading", "job")
def test_who_rather_types_is_in_the_field_at_once_and_the_camera_is_out(page: Page) -> None:
    scan(page, "/")
    page.get_by_role("button", name="Type it instead").click()
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(page.locator("#bar-search")).to_be_focused()
    page.wait_for_function(f"{LIVE} === 0")


@pytest.mark.usefixtures("reading", "job")
def test_escape_closes_it_and_the_button_is_where_one_was(page: Page) -> None:
    scan(page, "/")
    for _step in range(4):
        page.keyboard.press("Tab")
        assert page.evaluate(
            "document.activeElement === document.body || !!document.activeElement.closest('dialog')"
        )
    page.keyboard.press("Escape")
    expect(page.locator(".bar .scan")).to_be_focused()
    page.wait_for_function(f"{LIVE} === 0")


@pytest.mark.usefixtures("reading", "job")
def test_the_camera_is_out_while_nobody_looks_and_on_again_after(page: Page) -> None:
    scan(page, "/")
    hidden = "is => { Object.defineProperty(document, 'hidden', { configurable: true, value: is }); "
    hidden += "document.dispatchEvent(new Event('visibilitychange')); }"
    page.evaluate(hidden, True)
    page.wait_for_function(f"{LIVE} === 0")
    page.evaluate(hidden, False)
    expect(page.get_by_role("dialog")).to_contain_text("inside the frame")
    page.wait_for_function(f"{LIVE} === 1")


@pytest.mark.usefixtures("reading", "job")
@pytest.mark.parametrize(
    ("name", "said", "again"),
    [
        ("NotAllowedError", "may not use the camera", True),
        ("NotFoundError", "has no camera", False),
        ("NotReadableError", "busy with something else", True),
        ("UnknownError", "did not start", True),
    ],
)
def test_a_camera_that_does_not_start_says_why_and_what_to_do(
    page: Page, context: BrowserContext, name: str, said: str, *, again: bool
) -> None:
    context.add_init_script(REFUSED % name)
    page.goto("/")
    page.locator(".bar").get_by_role("button", name="Scan").click()
    dialog = page.get_by_role("dialog")
    expect(dialog.get_by_role("status")).to_contain_text(said)
    expect(dialog.get_by_role("status")).to_contain_text("type the code", ignore_case=True)
    expect(dialog.get_by_role("button", name="Try again")).to_have_count(1 if again else 0)
    axe_clean(page)


@pytest.mark.usefixtures("job")
def test_a_browser_that_reads_no_codes_offers_none(page: Page, context: BrowserContext) -> None:
    context.add_init_script("delete window.BarcodeDetector;")
    page.goto("/check-in/")
    expect(page.locator("#find")).to_be_focused()
    expect(page.get_by_role("button", name="Scan")).to_have_count(0)


@pytest.fixture
def bench(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    log_in(people["bench"])
    return people["bench"]


@pytest.mark.usefixtures("reading", "bench")
def test_the_mark_of_a_lot_finds_it_on_the_shelf(page: Page) -> None:
    a_lot(a_material(), "RS-0417")
    scan(page, reverse("stock"), within=".stock-find")
    show(page, "RS-0417")
    expect(page.locator("#shelf")).to_contain_text("Lots so marked")
    expect(page.locator("#shelf")).to_contain_text("RS-0417")


@pytest.mark.usefixtures("reading", "bench")
def test_a_lot_that_comes_in_is_marked_by_its_code(page: Page) -> None:
    material = a_material()
    scan(page, reverse("material-stock", args=[material.pk]), within="main")
    show(page, "8:4711/B")
    expect(page.get_by_label("Mark")).to_have_value("8:4711/B")
    expect(page.get_by_label("Mark")).to_be_focused()


@pytest.mark.usefixtures("reading", "bench")
def test_a_step_takes_from_the_lot_that_was_scanned_and_from_no_other(page: Page) -> None:
    cloth = a_material()
    a_lot(cloth, "KV-2204", "2.5")
    a_lot(cloth, "KV-2309", "30")
    repair = a_repair(cloth=(cloth, "0.35"))
    agreed_for(repair)
    step = a_step(repair)
    page.goto(reverse("step-materials", args=[step.job.number, step.pk]))
    page.get_by_text("Another lot or quantity").click()
    page.locator("main").get_by_role("button", name="Scan").click()
    expect(page.get_by_role("dialog")).to_contain_text("inside the frame")
    show(page, "KV-9999")
    expect(page.get_by_role("dialog")).to_contain_text("No lot to choose here is marked “KV-9999”.")
    show(page, "KV-2309")
    expect(page.get_by_role("dialog")).to_have_count(0)
    lots = page.get_by_label("From lot").first
    expect(lots).to_be_focused()
    assert lots.evaluate("field => field.selectedOptions[0].text").startswith("KV-2309:")


@pytest.mark.usefixtures("reading", "job")
def test_fingers_in_gloves_find_every_button(page: Page) -> None:
    page.set_viewport_size(PHONE)
    page.goto("/bench/")
    button = page.locator(".bar .scan")
    assert min(button.bounding_box()["width"], button.bounding_box()["height"]) >= 56
    button.click()
    close = page.get_by_role("button", name="Type it instead").bounding_box()
    assert close["height"] >= 56
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
