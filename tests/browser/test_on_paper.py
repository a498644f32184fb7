"""A page of the counter, printed: what is known stands on it, and no empty box that was to be filled in."""

import pytest
from playwright.sync_api import Page, expect

from shoprepair.jobs.models import Job, Stage
from tests.factories import CustomerFactory, DamageFactory, JobFactory, ready
from tests.papers.reading import pages
from tests.work.mending import mends


@pytest.fixture
def paper(page: Page, log_in, people) -> Page:
    """Whatever is opened is shown as it is printed."""
    log_in(people["counter"])
    page.emulate_media(media="print")
    return page


@pytest.fixture
def job(people) -> Job:
    job = JobFactory(stage=Stage.ASSESSED, terms_agreed_at="2026-05-04T09:00:00Z")
    DamageFactory(job=job)
    return ready(job, people["owner"])


def test_a_form_that_nobody_filled_in_leaves_no_empty_box(paper: Page, people) -> None:
    paper.goto("/check-in/customer/")
    expect(paper.get_by_role("heading", name="New customer")).to_be_visible()
    assert paper.locator("input:visible, textarea:visible, select:visible").count() == 0

    paper.goto("/check-in/customer/?name=Ilka+Sandvoort")
    expect(paper.get_by_label("Name")).to_have_value("Ilka Sandvoort")
    expect(paper.get_by_label("Name")).to_be_visible()
    assert paper.locator("input:visible, textarea:visible").count() == 1


def test_of_a_choice_only_what_was_chosen_is_printed(paper: Page, people) -> None:
    paper.goto(f"/check-in/{CustomerFactory().pk}/gear/")
    assert paper.locator(".choice:visible").count() == 0

    job = JobFactory(arrived_wet=False)
    paper.goto(f"/jobs/{job.number}/correct/")
    expect(paper.locator(".choice:visible")).to_have_text("No")


def test_what_is_to_be_handed_back_is_printed_with_what_is_owed_and_without_its_forms(
    paper: Page, job
) -> None:
    paper.goto(f"/jobs/{job.number}/hand-back/")

    expect(paper.get_by_role("heading", name="What was agreed")).to_be_visible()
    expect(paper.get_by_text("Still open")).to_be_visible()
    assert paper.locator("form input:visible, canvas:visible").count() == 0
    expect(paper.get_by_role("heading", name="Who takes it")).to_be_hidden()


def test_paper_is_white(paper: Page, job) -> None:
    paper.goto(f"/jobs/{job.number}/hand-back/")

    ground = paper.locator(".sheet").first.evaluate("sheet => getComputedStyle(sheet).backgroundColor")
    assert ground == "rgb(255, 255, 255)"


def test_no_page_of_a_printed_job_ends_with_a_heading(paper: Page, people) -> None:
    job = JobFactory(stage=Stage.ASSESSED, terms_agreed_at="2026-05-04T09:00:00Z")
    for place in range(8):
        DamageFactory(job=job, number=place + 1)
    paper.goto(f"/jobs/{job.number}/")
    headings = [
        said for each in paper.locator("h2:visible, h3:visible").all() if (said := _words(each.inner_text()))
    ]

    sheets = [_words(sheet) for sheet in pages(paper.pdf(format="A4"))]

    assert len(sheets) > 1
    assert [sheet for sheet in sheets[:-1] if sheet.endswith(tuple(headings))] == []


def test_of_what_is_chosen_no_ring_is_printed_though_it_is_being_tabbed_through(paper: Page, people) -> None:
    job = JobFactory(arrived_wet=False)
    paper.goto(f"/jobs/{job.number}/correct/")
    paper.keyboard.press("Tab")
    paper.locator(".choice input:checked").first.focus()

    shown = paper.locator(".choice:has(:checked) > span").first
    for ring in ("outlineStyle", "boxShadow"):
        assert shown.evaluate("(span, ring) => getComputedStyle(span)[ring]", ring) == "none"


def test_of_a_part_in_which_nothing_was_said_no_heading_is_printed(paper: Page, people, log_in) -> None:
    log_in(people["owner"])
    paper.goto("/office/people/add/")

    expect(paper.get_by_role("heading", name="Add somebody")).to_be_visible()
    for sheet in paper.locator(".sheet:visible").all():
        assert sheet.locator(".field:visible").count() > 0
    paper.goto("/office/materials/add/")
    for sheet in paper.locator(".sheet:visible").all():
        assert sheet.locator(".field:visible, p:visible").count() > 0


def _words(text: str) -> str:
    return " ".join(text.split())


def test_a_job_takes_one_line_of_the_printed_rack_whether_it_is_repaired_or_not_judged_yet(
    paper: Page, people
) -> None:
    mended = JobFactory(stage=Stage.READY, urgency=97, band="Grounded", damage_count=1)
    DamageFactory(job=mended, number=1, urgency=97, band="Grounded", model_version="1")
    mends(mended, [1])
    JobFactory(stage=Stage.ENQUIRY)
    paper.set_viewport_size({"width": 700, "height": 990})
    paper.goto("/")

    expect(paper.locator(".repaired")).to_have_count(1)
    expect(paper.locator(".row-unsaid")).to_have_count(1)
    for row in paper.locator(".row").all():
        tops = {row.locator(f"> {part}").bounding_box()["y"] for part in (".row-words", ".row-stage")}
        assert len(tops) == 1


def test_a_promised_day_is_printed_once_and_in_words(paper: Page) -> None:
    job = JobFactory(stage=Stage.CHECKED_IN, promised_on="2026-05-12")
    for address in (f"/jobs/{job.number}/check-in/", f"/jobs/{job.number}/correct/"):
        paper.goto(address)
        expect(
            paper.get_by_text("Tuesday 12 May 2026").or_(paper.get_by_text("Tuesday, 12 May 2026"))
        ).to_be_visible()
        assert paper.locator("input[type=date]:visible").count() == 0
