"""The pages that everybody meets at the edges: the log-in, one's own units, the wrong turns."""

import os
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import axe_clean
from tests.factories import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def seen(page, name):
    """Keep a picture where somebody wants to look: SHOPREPAIR_PICTURES names the folder."""
    if folder := os.environ.get("SHOPREPAIR_PICTURES"):
        page.screenshot(path=Path(folder) / f"{name}.png")


def test_a_person_logs_in_and_a_wrong_password_is_said_in_words(page, live_server, owner, counter):
    page.goto(live_server.url)
    axe_clean(page)
    seen(page, "log-in")
    page.get_by_label("Name").fill(counter.username)
    page.get_by_label("Password").fill("not the password at all")
    page.get_by_role("button", name="Log in").click()
    expect(page.get_by_text("do not go together")).to_be_visible()
    expect(page.get_by_label("Name")).to_have_value(counter.username)
    axe_clean(page)
    seen(page, "log-in-refused")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in").click()
    expect(page.get_by_role("heading", name="The rack", exact=True)).to_be_visible()


def test_a_person_chooses_units_on_a_page_that_everyone_can_read(page, live_server, owner, counter, log_in):
    log_in(counter)
    page.goto(f"{live_server.url}/my/units/")
    expect(page.locator("main h1")).to_be_visible()
    axe_clean(page)
    seen(page, "my-units")


@pytest.mark.parametrize(
    ("path", "status"), [("jobs/9999/", 404), ("office/", 403)], ids=["no such job", "the owner's page"]
)
def test_a_wrong_turn_is_said_in_words_that_everyone_can_read(
    page, complaints, live_server, owner, counter, log_in, path, status
):
    log_in(counter)
    answer = page.goto(f"{live_server.url}/{path}")
    assert answer.status == status
    expect(page.locator("main h1")).to_be_visible()
    axe_clean(page)
    seen(page, str(status))
    assert all(f"status of {status}" in complaint for complaint in complaints), complaints
    complaints.clear()  # the browser itself notes the status of such a page
