"""What was typed outlives the log-in: four forms of a shop's day, and whoever logs in after them."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shoprepair.jobs import checkin, damages, stages
from shoprepair.jobs.models import Damage, Job, Message, Stage
from shoprepair.pricing import catalogue, quotes
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Typed
from tests.browser.conftest import axe_clean
from tests.browser.counter_work import begun, expect_kept

pytestmark = pytest.mark.usefixtures("patterns")
BACK = "What you had typed is here again."
KEPT = "Object.keys(sessionStorage).filter(key => key.startsWith('keep:'))"


@pytest.fixture
def counter(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    log_in(people["counter"])
    return people["counter"]


@pytest.fixture
def job(counter: Staff) -> Job:
    """A cut that nobody has measured yet."""
    job = begun(counter, pinned=1)
    damages.answer(job.damages.get(), who=counter, kind="cut")
    return Job.objects.get()


def end_the_log_in(page: Page) -> None:
    page.context.clear_cookies(name="sessionid")


def come_back(page: Page, name: str = "counter") -> None:
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Password").fill("x")
    page.get_by_role("button", name="Log in", exact=True).click()


def test_an_answer_about_a_damage_is_brought_back_and_saved(page: Page, job: Job, complaints) -> None:
    page.goto(f"/jobs/{job.number}/check-in/?damage=1")
    end_the_log_in(page)
    page.get_by_label("Length of the cut").fill("35 mm")
    come_back(page)
    expect(page.get_by_label("Length of the cut")).to_have_value("35 mm")
    expect_kept(page, 1, "^35 mm cut")
    assert Damage.objects.get().length_typed == "35 mm"
    expect(page.get_by_text(BACK)).to_be_hidden()
    assert page.evaluate(KEPT) == []
    complaints[:] = [said for said in complaints if "401" not in said]


def test_an_answer_never_writes_over_what_somebody_else_said_meanwhile(
    page: Page, job: Job, counter: Staff, complaints
) -> None:
    page.goto(f"/jobs/{job.number}/check-in/?damage=1")
    end_the_log_in(page)
    page.get_by_label("Length of the cut").fill("35 mm")
    expect(page.get_by_label("Password")).to_be_visible()
    damages.answer(Damage.objects.get(), who=counter, length=Typed(0.06, "60 mm"))
    come_back(page)
    expect(page.get_by_role("status").filter(has_text="somebody else has changed this")).to_be_visible()
    expect(page.get_by_label("Length of the cut")).to_have_value("35 mm")
    axe_clean(page)
    page.get_by_role("button", name="Throw it away").click()
    expect(page.get_by_label("Length of the cut")).to_have_value("60 mm")
    assert Damage.objects.get().length_typed == "60 mm"
    complaints[:] = [said for said in complaints if "401" not in said]


def test_notes_and_an_answer_to_the_customer_are_brought_back_and_gone_once_taken(
    page: Page, job: Job, counter: Staff, complaints
) -> None:
    checkin.agree_terms(job, who=counter)
    stages.move(job, Stage.CHECKED_IN, who=counter)
    reply, note = page.get_by_label("Write to the customer"), page.get_by_label("For what")
    page.goto(f"/jobs/{job.number}/")
    note.fill("the second bladder")
    reply.fill("Do you need the pump, too?")
    end_the_log_in(page)
    page.get_by_role("button", name="Send it").click()
    come_back(page)
    assert page.url.endswith(f"/jobs/{job.number}/")
    expect(page.get_by_text(BACK)).to_have_count(2)
    expect(note).to_have_value("the second bladder")
    expect(reply).to_have_value("Do you need the pump, too?")

    page.get_by_role("button", name="Send it").click()
    expect(page.get_by_text("Your answer is kept")).to_be_visible()
    assert Message.objects.get().text == "Do you need the pump, too?"
    expect(page.locator("#reply-text")).to_have_value("")
    expect(note).to_have_value("the second bladder")
    page.get_by_role("radio", name="Parts").click(force=True)
    page.get_by_role("button", name="Keep this hold").click()
    expect(page.get_by_role("status").filter(has_text="On hold")).to_be_visible()
    assert page.evaluate(KEPT) == []


@pytest.mark.soak
def test_a_note_on_a_quote_is_there_for_whoever_typed_it_and_nobody_else(
    page: Page, job: Job, counter: Staff, complaints
) -> None:
    catalogue.load()
    draft = quotes.draft(job, who=counter)
    address = f"/jobs/{draft.job.number}/quote/"
    note = page.locator("#terms").get_by_label("Note")
    page.goto(address)
    note.fill("The canopy waits until spring.")
    end_the_log_in(page)
    page.get_by_role("button", name="Keep these").click()
    expect(page.get_by_label("Password")).to_be_visible()
    assert len(page.evaluate(KEPT)) == 1
    come_back(page)
    expect(note).to_have_value("The canopy waits until spring.")

    end_the_log_in(page)
    page.goto(address)
    come_back(page, "bench")
    expect(note).to_have_value("")
    assert page.evaluate(KEPT) == []
    note.fill("Only mine.")
    page.locator(".bar-person summary").click()
    page.get_by_role("button", name="Log out").click()
    expect(page.get_by_label("Password")).to_be_visible()
    assert page.evaluate(KEPT) == []
    complaints[:] = [said for said in complaints if "401" not in said]
