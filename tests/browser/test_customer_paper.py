"""What a customer prints from the browser, and how the page of an answer lies on a desk."""

import re
from urllib.parse import urlencode

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from shoprepair.jobs import links
from shoprepair.jobs.models import Stage
from shoprepair.shop.settings import current
from tests.browser.visits import visit
from tests.jobs.enquiries.asking import CUT, ask

TOLD = {"kind": "kite", "size": "medium", "at": "front-tip", "look": "cut", "length": "coin", "far": "far"}
ANSWER = f"/self-check/?{urlencode(TOLD)}"
GROUNDS = """() => [document.body, ...document.querySelectorAll("main, main :not(.pin-tag)")]
  .filter(each => each.checkVisibility())
  .map(each => getComputedStyle(each).backgroundColor)"""
WHITE = {"rgba(0, 0, 0, 0)", "rgb(255, 255, 255)"}


def on_paper(page: Page, address: str) -> None:
    page.goto(address)
    page.emulate_media(media="print", color_scheme="dark")


def test_a_status_page_prints_on_the_papers_own_white_without_anything_to_tap(
    page: Page, people, patterns
) -> None:
    job = visit(people["owner"], "Ilka Sandvoort", stage=Stage.CHECKED_IN)
    on_paper(page, links.path(links.make(job, who=people["owner"])))
    assert set(page.evaluate(GROUNDS)) <= WHITE
    expect(page.get_by_role("heading", name="Where it stands")).to_be_visible()
    expect(page.locator("button:visible, input:visible, textarea:visible, select:visible")).to_have_count(0)


@pytest.mark.parametrize("address", [ANSWER, f"{reverse('enquiry')}?{urlencode(TOLD)}"])
def test_an_answer_prints_on_white_without_anything_to_tap(page: Page, patterns, address: str) -> None:
    on_paper(page, address)
    assert set(page.evaluate(GROUNDS)) <= WHITE
    expect(page.locator("button:visible, input:visible, .button:visible, select:visible")).to_have_count(0)


def test_the_link_to_ones_own_page_is_read_on_paper_and_tapped_on_the_screen(page: Page, patterns) -> None:
    current()
    link = links.path(links.current(ask(CUT).job))
    page.goto(f"{link}sent/")
    words = page.get_by_text("Your own page:")
    expect(words).to_be_hidden()
    page.emulate_media(media="print")
    expect(words).to_be_visible()
    expect(words).to_contain_text(re.compile(rf"https?://.+{re.escape(link)}"))
    expect(page.get_by_role("link", name="Open your own page")).to_be_hidden()


def test_how_the_shop_is_reached_is_read_on_paper_too(page: Page, patterns) -> None:
    shop = current()
    shop.phone = "+44 1632 960 318"
    shop.save()
    for address in (f"{links.path(links.current(ask(CUT).job))}sent/", reverse("enquiry-thanks")):
        on_paper(page, address)
        expect(page.get_by_text(re.compile("Call.+960.318"))).to_be_visible()
        assert page.locator("main").bounding_box()["x"] == 0
        assert set(page.evaluate(GROUNDS)) <= WHITE


@pytest.mark.parametrize("width", [1180, 1440])
def test_on_a_desk_the_page_of_an_answer_ends_where_its_words_end(page: Page, patterns, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(ANSWER)
    blank = """() => document.documentElement.scrollHeight - Math.max(
      ...Array.from(document.querySelectorAll(".sheet, .acts"), each => each.getBoundingClientRect().bottom)
    ) - scrollY"""
    assert page.evaluate(blank) < 100


@pytest.mark.parametrize("address", ["/self-check/?kind=wing", "/self-check/offline/"])
def test_on_a_phone_the_answers_follow_the_question(page: Page, patterns, address: str) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(address)
    gap = """() => document.querySelector(".choices:not([hidden] *)").getBoundingClientRect().top
      - Math.max(
        ...Array.from(document.querySelectorAll("h1, .asked > .soft"), a => a.getBoundingClientRect().bottom)
      )"""
    assert page.evaluate(gap) < 40
