"""A visitor on a beach asks whether it may be fixed: by touch on a phone, and once by keyboard alone."""

import re
from collections.abc import Mapping
from urllib.parse import urlencode

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from shoprepair.jobs.models import SelfCheckTally
from tests.browser.conftest import PHONE, axe_clean

MOST_TAPS = 8
BRING_IN, GET_HOME = "Do not inflate it; bring it in", "Get home with a temporary fix, then bring it in"
FIX, RIDE_ON = "Fix it yourself", "Ride on and keep an eye on it"
ON_SCREEN = """spot => {
  spot.scrollIntoView({ block: "center" });
  for (const part of [...spot.querySelectorAll(".part")].reverse()) {
    const box = part.getBoundingClientRect();
    for (let n = 99; n > 0; n -= 1) {
      const x = box.left + box.width * (n % 10) / 10, y = box.top + box.height * Math.floor(n / 10) / 10;
      const on = document.elementFromPoint(x, y);
      if (on && spot.contains(on) && !on.matches(".room")) return [x, y];
    }
  }
}"""
"""Where on the screen a finger meets a place and no other."""
Case = tuple[Mapping[str, str], str, str]
# Common practice, no source: the verdict, and words of its reason.
OF_WINGS: tuple[Case, ...] = (
    (
        {"kind": "wing", "size": "medium", "at": "front-centre", "look": "cut", "length": "coin"},
        BRING_IN,
        "Only near the tip",
    ),
    (
        {"kind": "wing", "size": "small", "at": "front-tip", "look": "scrape", "fold": "round"},
        RIDE_ON,
        "threads are still whole",
    ),
    (
        {"kind": "wing", "size": "large", "at": "front-middle", "look": "scrape", "fold": "edge"},
        BRING_IN,
        "half",
    ),
    (
        {"kind": "wing", "size": "unsure", "at": "front-middle", "look": "burst"},
        BRING_IN,
        "burst",
    ),
)
OF_KITES: tuple[Case, ...] = (
    (
        {"kind": "kite", "size": "large", "at": "front-tip", "look": "cut", "length": "nail", "far": "far"},
        GET_HOME,
        "Near the tip the tube carries least",
    ),
    (
        {"kind": "kite", "size": "large", "at": "front-tip", "look": "cut", "length": "nail", "far": "home"},
        BRING_IN,
        "far from any shop",
    ),
    (
        {"kind": "kite", "size": "small", "at": "canopy-outer", "look": "torn", "length": "palm"},
        FIX,
        "Tape on both sides",
    ),
    (
        {"kind": "kite", "size": "medium", "at": "valve", "look": "soft", "softens": "minutes"},
        BRING_IN,
        "",
    ),
)


@pytest.fixture
def browser_context_args(browser_context_args: dict[str, object]) -> dict[str, object]:
    return {**browser_context_args, "viewport": PHONE, "is_mobile": True, "device_scale_factor": 2}


@pytest.mark.parametrize("cases", [OF_WINGS, OF_KITES], ids=["wings", "kites"])
def test_everyday_damages_are_answered_in_at_most_eight_taps(page: Page, patterns, cases) -> None:
    for told, verdict, reason in cases:
        page.goto(reverse("self-check"))
        for question, answer in told.items():
            tap(page, question, answer)
        assert len(told) <= MOST_TAPS
        expect(page.get_by_role("heading", level=1)).to_have_text(verdict)
        expect(page.locator(".reason").first).to_contain_text(reason)
    # The phone counts beside all else.
    for _ in range(40):
        if counted() == len(cases):
            return
        page.wait_for_timeout(50)
    assert counted() == len(cases)


def counted() -> int:
    """How many answers that were read the shop knows of."""
    return sum(row.count for row in SelfCheckTally.objects.all())


def tap(page: Page, question: str, answer: str) -> None:
    """One tap: on the drawing where it asks for the place, else on a row."""
    if question == "at":
        x, y = page.locator(f".is-right [data-place={answer}]").evaluate(ON_SCREEN)
        page.touchscreen.tap(x, y)
        page.wait_for_url(re.compile(r"at=-?\d"))
    else:
        page.locator(f"[data-question={question}][data-answer={answer}]").tap()


def test_a_tap_on_the_drawing_is_exact_and_one_beside_the_tube_counts_as_on_it(page: Page, patterns) -> None:
    at_the_place = f"{reverse('self-check')}?kind=kite&size=large"
    page.goto(at_the_place)
    axe_clean(page)
    box = page.locator(".is-left [data-place=front-tip] .part").last.bounding_box()
    assert box
    page.touchscreen.tap(box["x"] - 8, box["y"] + box["height"] / 2)
    page.wait_for_url(re.compile(r"at=-\d\.\d\d%2C\d\.\d\d"))
    expect(page.get_by_role("link", name="Front tube, near the tip")).to_be_visible()


def test_the_whole_way_is_walked_by_keyboard_alone(page: Page, patterns) -> None:
    page.goto(reverse("self-check"))
    for answer in ("wing", "medium", "canopy-outer", "torn", "hand"):
        press_to(page, f"[data-answer={answer}]")
    expect(page.get_by_role("heading", level=1)).to_have_text(GET_HOME)
    axe_clean(page)
    press_to(page, ".send a")
    expect(page).to_have_url(re.compile(reverse("enquiry")))


def press_to(page: Page, where: str) -> None:
    """Walk to it with the Tab key and follow it."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("where => document.activeElement.matches(where)", where):
            break
    before = page.url
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: url != before)


@pytest.mark.parametrize(
    "told", [{}, {"kind": "wing", "size": "medium"}, *(told for told, _, _ in (OF_WINGS[0], *OF_KITES[::2]))]
)
def test_by_night_it_does_not_glare_and_is_read_as_well(
    page: Page, patterns, told: Mapping[str, str]
) -> None:
    page.emulate_media(color_scheme="dark")
    page.goto(f"{reverse('self-check')}?{urlencode(told)}")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert max(map(int, re.findall(r"\d+", ground))) < 50
    axe_clean(page)
