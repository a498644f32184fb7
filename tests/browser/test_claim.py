"""A wing comes back: from the code on its cover record to the owner's decision and the customer's page."""

import re

from playwright.sync_api import Browser, Page, expect

from shoprepair.cover import links as cover_links
from shoprepair.cover.models import Claim
from shoprepair.cover.reading import read
from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Stage
from tests.browser.conftest import PHONE, axe_clean
from tests.browser.counter_work import Hands
from tests.cover.claiming import a_covered_casing

WORDS = "The inner row of our patch let go. We sew it anew with three rows."


def test_from_the_code_on_the_paper_to_the_decision_that_the_customer_reads(
    page: Page, browser: Browser, base_url, log_in, people
) -> None:
    cover = a_covered_casing()
    log_in(people["counter"])
    page.goto(cover_links.path(cover_links.current(cover.inflatable)))
    page.get_by_role("link", name="Open in the shop").click()
    page.get_by_role("button", name="Check in").click()

    # The new damage, where the patch is.
    hands, was = Hands(page), read(cover).damages[0]
    hands.tap_drawing(was.x_m, was.y_m)
    hands.say("What is it?", "seam opened")
    with page.expect_response(lambda response: "/damages/" in response.url):
        page.get_by_role("button", name="25 mm").tap()
    hands.say("Where around the tube", "top")
    line = page.locator("#verdict .claim-line")
    expect(line).to_contain_text(f"inside cover {cover}")
    page.get_by_role("checkbox", name="Ilka Sandvoort agrees").check(force=True)
    page.get_by_role("button", name="Check in and print the tag").click()
    expect(page.get_by_role("heading", name=re.compile("is checked in"))).to_be_visible()

    # The comparison, and what is asked there.
    job = Job.objects.get(is_open=True)
    page.goto(f"/jobs/{job.number}/damages/1/claim/")
    expect(page.get_by_role("img", name=f"Damage 1 laid over cover {cover}")).to_be_visible()
    expect(page.locator(".claim-word")).to_have_text("Ours")
    page.get_by_role("radio", name="Yes").check(force=True)
    expect(page.locator(".claim-word")).to_have_text("Owner to decide")
    page.get_by_role("radio", name="No", exact=True).check(force=True)
    expect(page.locator(".claim-word")).to_have_text("Ours")
    axe_clean(page)
    page.get_by_role("button", name=f"Hold it against cover {cover}").dblclick()
    expect(page.get_by_text("It waits for the owner")).to_be_visible()
    assert Claim.objects.count() == 1

    # The owner, on a phone in the evening.
    log_in(people["owner"])
    page.set_viewport_size(PHONE)
    page.goto("/office/claims/")
    axe_clean(page)
    page.get_by_role("link", name="Seam opened over 25 mm").click()
    expect(page.locator(".claim-word")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    page.get_by_label("Why, as the customer reads it").fill(WORDS)
    page.get_by_role("radio", name="Ours, at no charge").check(force=True)
    page.get_by_role("button", name="Decide, and tell the customer").click()
    expect(page.get_by_text("Decided: ours to mend.")).to_be_visible()
    expect(page.get_by_role("link", name=f"Job {job} mends it at no charge")).to_be_visible()
    axe_clean(page)
    job.refresh_from_db()
    assert job.stage == Stage.GO_AHEAD

    # The customer, without scripts.
    plain = browser.new_context(java_script_enabled=False, viewport=PHONE, base_url=base_url)
    theirs = plain.new_page()
    theirs.goto(links.path(links.current(job)))
    expect(theirs.get_by_text("It is ours: we mend it, and you pay nothing for it.")).to_be_visible()
    expect(theirs.get_by_text(WORDS)).to_be_visible()
    expect(theirs.get_by_text("Ours to mend: $0.00")).to_be_visible()
    plain.close()
