"""The line to the shop goes down: our own page stands there, gear is taken in, nothing is lost or doubled."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Error, Page, expect

from shoprepair.jobs import checkin
from shoprepair.jobs.models import Customer, Damage, Job, Stage
from shoprepair.shop.models import Staff
from shoprepair.work import steps, ticks
from shoprepair.work.models import Tick
from tests.browser.conftest import PHONE, axe_clean
from tests.browser.counter_work import CUT_AT_M, Hands, begun
from tests.work.benching import MINUTE, on_the_bench

pytestmark = pytest.mark.usefixtures("patterns")

KEPT = """async () => {
  while (!await caches.match("/without-line/")) await new Promise((soon) => setTimeout(soon, 50));
  await navigator.serviceWorker.ready;
}"""
GONE = "The line to the shop is gone"


@pytest.fixture
def browser_context_args(browser_context_args: dict[str, object]) -> dict[str, object]:
    return {**browser_context_args, "service_workers": "allow", "locale": "en-GB"}


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the counter, logged in."""
    log_in(people["counter"])
    return people["counter"]


@pytest.fixture
def tech(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """Somebody at the bench, logged in."""
    log_in(people["bench"])
    return people["bench"]


@pytest.fixture
def trouble(page: Page, complaints: list[str]):
    """The console names every request that never came through; nothing else may stand there."""
    page.on("pageerror", lambda error: print("PAGEERROR", error, error.stack))
    yield page
    expected = ("Failed to load resource", "htmx:")
    complaints[:] = [words for words in complaints if not words.startswith(expected)]


def seen(page: Page, name: str) -> None:
    """Keep a picture where somebody wants to look: SHOPREPAIR_PICTURES names the folder."""
    if folder := os.environ.get("SHOPREPAIR_PICTURES"):
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)


def opened(page: Page, address: str = "/") -> None:
    """A page of the shop, after which the device keeps what it needs without a line."""
    page.goto(address)
    page.evaluate(KEPT)
    # The page that brings the worker need not be the worker's own; the next one is.
    page.reload()


def take_in(page: Page, name: str, **more: str) -> None:
    """Write down somebody and their wing on the device."""
    page.get_by_role("button", name="Take gear in").tap()
    page.get_by_label("Name", exact=True).fill(name)
    page.locator(".choice", has_text="Wing").tap()
    for label, words in more.items():
        page.get_by_label(label.replace("_", " ")).fill(words)
    page.get_by_role("button", name="Keep it on this device").tap()


def waits(page: Page) -> int:
    return page.evaluate("JSON.parse(localStorage.getItem('taken-down') || '[]').length")


def until(page: Page, holds: str) -> None:
    """Wait until this holds on the page; the pages' policy lets nobody evaluate a text there."""
    for _ in range(300):
        try:
            if page.evaluate(holds):
                return
        except Error:
            """The page was just left for the next one."""
        page.wait_for_timeout(50)
    raise AssertionError(f"It never came to be: {holds}")


def all_sent(page: Page) -> None:
    until(page, "!localStorage.getItem('taken-down')")


def test_a_page_opened_without_a_line_is_ours_and_goes_on_when_it_is_back(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    expect(page.get_by_role("heading", name=GONE)).to_be_visible()
    expect(page).to_have_title(GONE)
    assert page.evaluate("getComputedStyle(document.body).fontFamily").startswith('"Atkinson')
    axe_clean(page)
    seen(page, "without-line")
    context.set_offline(False)
    expect(page.get_by_role("heading", name="Who is it?")).to_be_visible(timeout=15000)
    assert page.url.endswith("/check-in/")


def test_gear_taken_in_without_a_line_becomes_one_visit_when_it_is_back(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    page.get_by_role("button", name="Take gear in").tap()
    page.get_by_role("button", name="Keep it on this device").tap()
    expect(page.get_by_text("Write the customer's name.")).to_be_visible()
    expect(page.get_by_text("Say whether it is a wing or a kite.")).to_be_visible()
    axe_clean(page)
    seen(page, "without-line-form")
    page.get_by_label("Name", exact=True).fill("Ida Quist")
    page.locator(".choice", has_text="Wing").tap()
    page.get_by_label("What the customer says").fill("Hit a rock.")
    page.get_by_role("button", name="Keep it on this device").tap()
    take_in(page, "Bo Lindt", Serial="WX 9")
    expect(page.locator(".kept-row")).to_have_count(2)
    axe_clean(page)
    seen(page, "without-line-two")
    page.reload()
    expect(page.locator(".kept-row")).to_have_count(2)
    assert not Job.objects.exists()
    context.set_offline(False)
    expect(page.get_by_text("Ida Quist is with the shop now.")).to_be_visible(timeout=15000)
    all_sent(page)
    assert [job.customer.name for job in Job.objects.order_by("id")] == ["Ida Quist", "Bo Lindt"]
    assert "Hit a rock." in Job.objects.order_by("id")[0].note
    seen(page, "without-line-back")


def test_an_answer_that_was_lost_takes_nothing_in_twice(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist")
    lost: list[int] = []

    def lose(route):
        if lost:
            route.continue_()
        else:
            lost.append(route.fetch().status)
            route.abort()

    context.route("**/check-in/kept/send/", lose)
    context.set_offline(False)
    expect(page.get_by_text("1 thing waits on this device")).to_be_visible(timeout=15000)
    while not lost:
        page.wait_for_timeout(50)
    assert lost == [200]
    assert waits(page) == 1
    page.reload()
    all_sent(page)
    assert Job.objects.count() == 1


def test_two_tabs_send_it_once(trouble: Page, context: BrowserContext, counter: Staff) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist")
    other = context.new_page()
    other.goto("/check-in/")
    expect(other.locator(".kept-row")).to_have_count(1)
    context.set_offline(False)
    for tab in (page, other):
        expect(tab.get_by_role("heading", name="Who is it?")).to_be_visible(timeout=15000)
    all_sent(page)
    assert Job.objects.count() == 1


def test_a_known_customer_and_gear_that_is_here_are_asked_about_with_both_side_by_side(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    ida = checkin.add_customer("Ida Quist", phone="+1 555 0134", who=counter)
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist", Phone="555 0134", What_the_customer_says="Hit a rock.")
    context.set_offline(False)
    expect(page.get_by_text("1 of them for you")).to_be_visible(timeout=15000)
    assert not Job.objects.exists()
    page.get_by_role("link", name="Look at it").tap()
    expect(page.get_by_role("heading", name="Is it a customer whom the shop knows?")).to_be_visible()
    axe_clean(page)
    seen(page, "kept-asks")
    page.get_by_role("button", name="It is this customer").tap()
    all_sent(page)
    job = Job.objects.get()
    assert (job.customer, Customer.objects.count()) == (ida, 1)
    assert "Hit a rock." in job.note


def test_what_the_shop_refuses_stays_with_its_reason_and_can_be_changed(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist", **{"E-mail": "ida at home"})
    context.set_offline(False)
    expect(page.get_by_text("1 of them for you")).to_be_visible(timeout=15000)
    page.get_by_role("link", name="Look at it").tap()
    expect(page.locator(".kept-row .error")).to_contain_text("whole e-mail address")
    seen(page, "kept-refused")
    page.get_by_role("button", name="Look and change").tap()
    page.get_by_label("E-mail").fill("ida@quist.example")
    page.get_by_role("button", name="Keep it on this device").tap()
    all_sent(page)
    assert Job.objects.get().customer.email == "ida@quist.example"


def test_it_is_thrown_away_only_after_a_second_tap(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist")
    page.get_by_role("button", name="Throw it away").tap()
    page.get_by_role("button", name="Leave it here").tap()
    assert waits(page) == 1
    page.get_by_role("button", name="Throw it away").tap()
    page.get_by_role("button", name="Throw it away for good").tap()
    expect(page.locator(".kept-row")).to_have_count(0)
    assert waits(page) == 0


def test_what_is_being_written_is_not_taken_from_under_the_fingers_and_survives_a_reload(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    page.get_by_role("button", name="Take gear in").tap()
    page.get_by_label("Name", exact=True).fill("Ida")
    context.set_offline(False)
    expect(page.get_by_text("The line is back. Finish what you are writing")).to_be_visible(timeout=15000)
    expect(page.get_by_label("Name", exact=True)).to_have_value("Ida")
    page.reload()
    expect(page.get_by_text("1 of them for you")).to_be_visible()
    page.get_by_role("link", name="Look at it").tap()
    expect(page.locator(".kept-row")).to_contain_text("not finished")
    assert not Job.objects.exists()


def test_whoever_logs_out_is_asked_first_and_leaves_nothing(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist")
    context.route("**/check-in/kept/send/", lambda route: route.abort())
    context.set_offline(False)
    expect(page.get_by_text("1 thing waits on this device")).to_be_visible(timeout=15000)
    page.locator(".bar-person summary").tap()
    page.get_by_role("button", name="Log out").tap()
    expect(page.get_by_text("At the log-out it is thrown away.")).to_be_visible()
    axe_clean(page)
    seen(page, "kept-leaving")
    page.get_by_role("button", name="Throw away and log out").tap()
    page.wait_for_url("**/log-in/")
    assert page.evaluate("[...Object.keys(localStorage), ...Object.keys(sessionStorage)]") in (
        [],
        ["htmx-current-path-for-history"],
    )
    context.set_offline(True)
    page.goto("/check-in/")
    expect(page.get_by_role("button", name="Take gear in")).to_be_hidden()
    expect(page.get_by_text("Nobody is logged in on this device")).to_be_visible()
    assert "Ida" not in page.content()


def test_the_device_keeps_no_page_of_the_shop(trouble: Page, context: BrowserContext, counter: Staff) -> None:
    page = trouble
    checkin.add_customer("Ida Quist", who=counter)
    opened(page)
    page.goto("/search/?q=Ida")
    expect(page.get_by_text("Ida Quist").first).to_be_visible()
    told = page.evaluate(
        """async () => {
            const held = [];
            for (const name of await caches.keys()) {
              const store = await caches.open(name);
              for (const request of await store.keys()) {
                const answer = await store.match(request);
                held.push([new URL(request.url).pathname, await answer.text()]);
              }
            }
            return held;
        }"""
    )
    assert {path for path, _ in told if not path.startswith(("/static/", "/drawings/"))} == {"/without-line/"}
    assert not [path for path, text in told if "Ida" in text or counter.username in text]


def test_somebody_else_on_the_device_sees_only_that_something_waits(
    trouble: Page, context: BrowserContext, people: dict[str, Staff], counter: Staff, log_in
) -> None:
    page = trouble
    opened(page)
    page.evaluate("id => sessionStorage.setItem('bench-page', JSON.stringify({ by: id }))", str(counter.pk))
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist")
    context.route("**/check-in/kept/send/", lambda route: route.abort())
    log_in(people["bench"])
    context.set_offline(False)
    expect(page.get_by_role("heading", name="Who is it?")).to_be_visible(timeout=15000)
    page.goto("/check-in/kept/")
    expect(page.get_by_text("1 check-in of somebody else waits on this device")).to_be_visible()
    assert "Ida" not in page.content()
    assert page.evaluate("sessionStorage.getItem('bench-page')") is None


def test_the_job_at_the_bench_goes_on_after_a_reload_without_a_line(
    trouble: Page, context: BrowserContext, tech: Staff
) -> None:
    page, job = trouble, on_the_bench(tech)
    every = steps.of(job)
    opened(page, f"/bench/jobs/{job.number}/steps/{every[0].pk}/")
    context.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", name=every[0].text)).to_be_visible()
    expect(page.get_by_text("The steps stand as they were at")).to_be_visible()
    assert job.customer.name not in page.content()
    axe_clean(page)
    seen(page, "without-line-bench")
    page.locator(".bench-step:not([hidden]) .bench-done:visible button").tap()
    expect(page.get_by_role("heading", name=every[1].text)).to_be_visible()
    page.goto("/")
    expect(page.get_by_text("ticks of the bench")).to_be_visible()
    seen(page, "without-line-ticks")
    page.get_by_role("link", name="Go on at the bench").tap()
    expect(page.locator("[data-bench-here] .bench-list")).to_be_visible()
    context.set_offline(False)
    until(page, "!JSON.parse(localStorage.getItem('bench-ticks') || '[]').length")
    until(page, "!document.querySelector('#ticks[aria-busy]')")
    assert list(Tick.objects.filter(verb="done").values_list("step", flat=True)) == [every[0].pk]


def test_a_job_that_was_left_before_it_was_copied_goes_on_all_the_same(
    trouble: Page, context: BrowserContext, tech: Staff
) -> None:
    page, job = trouble, on_the_bench(tech)
    page.add_init_script("window.requestIdleCallback = () => 0")
    every = steps.of(job)
    opened(page, f"/bench/jobs/{job.number}/steps/{every[0].pk}/")
    page.evaluate("sessionStorage.removeItem('bench-page')")
    context.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", name=every[0].text)).to_be_visible()
    expect(page.locator("#bench-job .bench-step")).to_have_count(len(every))
    assert job.customer.name not in page.content()


def test_whoever_logs_out_before_the_job_was_copied_leaves_nothing_of_it(
    trouble: Page, context: BrowserContext, tech: Staff
) -> None:
    page, job = trouble, on_the_bench(tech)
    page.add_init_script("window.requestIdleCallback = () => 0")
    opened(page, f"/bench/jobs/{job.number}/")
    page.locator(".bar-person summary").tap()
    page.get_by_role("button", name="Log out").tap()
    page.wait_for_url("**/log-in/")
    assert page.evaluate("sessionStorage.getItem('bench-page')") is None


def test_two_at_one_step_are_shown_and_one_says_whose_counts(
    trouble: Page, context: BrowserContext, tech: Staff, people: dict[str, Staff]
) -> None:
    page, job = trouble, on_the_bench(tech)
    first = steps.of(job)[0]
    Job.objects.filter(pk=job.pk).update(received_at=job.received_at - MINUTE * 60)
    opened(page, f"/bench/jobs/{job.number}/steps/{first.pk}/")
    context.set_offline(True)
    page.locator(".bench-step:not([hidden]) .bench-skip summary").tap()
    page.get_by_role("textbox", name="Why is it left out?").fill("not needed")
    page.get_by_role("button", name="Leave it out").tap()
    expect(page.locator("[data-waiting-words]")).to_contain_text("Waiting to be sent")
    first.refresh_from_db()
    ticks.take(first, "done", key="theirs", who=people["counter"], at=job.received_at)
    context.set_offline(False)
    expect(page.get_by_role("heading", name="Two of you did otherwise")).to_be_visible(timeout=15000)
    axe_clean(page)
    seen(page, "bench-two-ticks")
    page.get_by_role("button", name="Mine counts").tap()
    expect(page.get_by_role("heading", name="Two of you did otherwise")).to_be_hidden()
    until(page, "!document.querySelector('#ticks[aria-busy]')")
    first.refresh_from_db()
    assert (first.state, first.reason) == ("skipped", "not needed")


@pytest.mark.parametrize("wide", [PHONE, {"width": 320, "height": 640}])
def test_on_a_phone_nothing_sticks_out(
    trouble: Page, context: BrowserContext, counter: Staff, wide: dict[str, int]
) -> None:
    page = trouble
    page.set_viewport_size(wide)
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Maximiliana Featherstonehaugh-Brandal", Serial="WX 9")
    page.get_by_role("button", name="Take gear in").tap()
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    seen(page, f"without-line-{wide['width']}")


def test_a_german_reader_is_spoken_to_in_german(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    Staff.objects.filter(pk=counter.pk).update(language="de")
    opened(page)
    until(
        page, "caches.match('/without-line/').then((kept) => kept.headers.get('Content-Language') === 'de')"
    )
    context.set_offline(True)
    page.goto("/check-in/")
    expect(page.locator("html")).to_have_attribute("lang", "de")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Die Verbindung zur Werkstatt ist weg")
    page.locator("[data-kept-new]").tap()
    page.get_by_role("button", name="Auf diesem Gerät aufheben").tap()
    expect(page.locator("[data-wrong=name]")).to_contain_text("Schreib")


def test_a_job_that_was_checked_in_meanwhile_gets_what_was_said_as_a_note(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page = trouble
    opened(page)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist", Serial="WX 9", What_the_customer_says="Hit a rock.")
    context.set_offline(False)
    all_sent(page)
    job = Job.objects.get()
    Job.objects.update(stage=Stage.CHECKED_IN)
    context.set_offline(True)
    page.goto("/check-in/")
    take_in(page, "Ida Quist", Serial="WX 9", What_the_customer_says="Also the strut.")
    context.set_offline(False)
    expect(page.get_by_text("1 of them for you")).to_be_visible(timeout=15000)
    page.get_by_role("link", name="Look at it").tap()
    page.get_by_role("button", name="It is this customer").tap()
    seen(page, "kept-here-already")
    page.get_by_role("button", name="Add it to the notes of job").tap()
    all_sent(page)
    job.refresh_from_db()
    assert "Also the strut." in job.note
    assert Job.objects.count() == 1


def test_damages_tapped_without_a_line_are_pinned_in_their_order_and_once(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page, job = trouble, begun(counter)
    opened(page, f"/jobs/{job.number}/check-in/")
    context.set_offline(True)
    Hands(page).tap_drawing(*CUT_AT_M)
    expect(page.locator("[data-pin-list] li")).to_have_count(1)
    Hands(page).tap_drawing(CUT_AT_M[0] + 0.2, CUT_AT_M[1])
    expect(page.locator("[data-pin-list] li")).to_have_count(2)
    Hands(page).tap_drawing(CUT_AT_M[0] + 0.4, CUT_AT_M[1])
    expect(page.locator(".ghost-kept")).to_have_count(3)
    page.locator("[data-pin-kind]").first.select_option("cut")
    page.locator("[data-pin-away]").last.tap()
    axe_clean(page)
    seen(page, "pins-wait")
    page.reload()
    expect(page.get_by_text("2 pins on a drawing")).to_be_visible()
    context.set_offline(False)
    expect(page.locator("[data-tab='2']")).to_be_visible(timeout=20000)
    until(page, "!localStorage.getItem('pins-kept')")
    found = list(Damage.objects.order_by("number").values_list("kind", "x_m"))
    assert [kind for kind, _ in found] == ["cut", ""]
    assert found[0][1] < found[1][1]


def test_a_pin_that_the_shop_refuses_stays_with_its_sentence(
    trouble: Page, context: BrowserContext, counter: Staff
) -> None:
    page, job = trouble, begun(counter)
    opened(page, f"/jobs/{job.number}/check-in/")
    context.set_offline(True)
    Hands(page).tap_drawing(*CUT_AT_M)
    page.locator("[data-pin-kind]").select_option("crack")
    context.set_offline(False)
    expect(page.locator("[data-pin-sentence]")).not_to_be_empty(timeout=20000)
    assert not Damage.objects.exists()
    page.locator("[data-pin-kind]").select_option("cut")
    expect(page.locator("[data-tab='1']")).to_be_visible(timeout=20000)
    assert Damage.objects.get().kind == "cut"
