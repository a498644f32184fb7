"""What is done on a page before its picture is taken."""

from collections.abc import Callable

from playwright.sync_api import Page

from shoprepair.office.demo.people import OWNER

Act = Callable[[Page], None]
SECOND = "second"
"""The user name of an owner who is asked for a code beside the password."""
PIN = "582917"
NO_ANSWER = """() => {
  XMLHttpRequest.prototype.send = () => {};
  window.fetch = () => new Promise(() => {});
}"""
PATIENCE_MS = 4000
AFTER_MS = 400
"""What a page gets to show what follows from a tap."""


def nothing(page: Page) -> None:
    """As it is."""


def sent(**fields: str) -> Act:
    """Fill in these fields of one form by hand, whatever the browser thinks of it, and send it."""

    def act(page: Page) -> None:
        _open_all(page)
        for name, value in fields.items():
            field = page.locator(f'main [name="{name}"], main [name$="-{name}"]').first
            field.evaluate("(field, value) => { field.value = value; }", value, timeout=PATIENCE_MS)
        field.evaluate("field => { field.form.noValidate = true; field.form.requestSubmit(); }")
        page.wait_for_timeout(AFTER_MS)
        page.wait_for_load_state("networkidle")

    return act


def tapped(what: str) -> Act:
    """Tap the first of these that can be seen."""

    def act(page: Page) -> None:
        page.locator(what).locator("visible=true").first.click(timeout=PATIENCE_MS, no_wait_after=True)
        page.wait_for_timeout(AFTER_MS)

    return act


def typed(where: str, text: str) -> Act:
    """Type into the field."""

    def act(page: Page) -> None:
        page.locator(where).first.press_sequentially(text, timeout=PATIENCE_MS)
        page.wait_for_timeout(2 * AFTER_MS)

    return act


def under_way(act: Act) -> Act:
    """The same, while the answer stays away."""

    def act_held(page: Page) -> None:
        page.evaluate(NO_ANSWER)
        act(page)

    return act_held


def without_line(act: Act) -> Act:
    """The same, with the line to the shop cut."""

    def act_cut(page: Page) -> None:
        page.context.set_offline(True)
        act(page)

    return act_cut


def taken_down(*names: str) -> Act:
    """Gear of these people is taken in while nothing can be sent, and what waits is looked at."""

    def act(page: Page) -> None:
        page.context.route(
            "**/*", lambda one: one.abort() if one.request.method == "POST" else one.fallback()
        )
        for name in names:
            page.get_by_role("button", name="Take gear in").click(timeout=PATIENCE_MS)
            page.get_by_label("Name", exact=True).fill(name)
            page.locator(".choice", has_text="Wing").first.click()
            page.get_by_role("button", name="Keep it on this device").click()
        page.goto(f"{_base(page)}/check-in/kept/")
        page.wait_for_timeout(AFTER_MS)

    return act


def password_given(page: Page) -> None:
    """The right password of somebody who is asked for a code besides."""
    page.locator("input[name=username]").fill(SECOND)
    page.locator("input[name=password]").fill(OWNER.password)
    page.get_by_role("button", name="Log in", exact=True).click()
    page.wait_for_load_state("networkidle")


def enrolled(page: Page, name: str = "Tablet at the counter") -> None:
    """The tablet is one that is shared."""
    page.goto(f"{_base(page)}/office/tablets/")
    page.locator("main input[name=name]").fill(name)
    # Left before the shop has answered, the browser would not be enrolled.
    with page.expect_navigation():
        page.get_by_role("button", name="Enrol this browser").click()
    page.goto(f"{_base(page)}/switch/")


def enrolled_and_asked(page: Page) -> None:
    """Another one, for a name stands for one tablet; and a person is tapped."""
    enrolled(page, "Tablet at the bench")
    page.locator("main a[href*='/switch/']").first.click(timeout=PATIENCE_MS)
    page.wait_for_load_state("networkidle")


def _base(page: Page) -> str:
    return str(page.evaluate("location.origin"))


def _open_all(page: Page) -> None:
    page.evaluate("document.querySelectorAll('main details').forEach(each => { each.open = true; })")
