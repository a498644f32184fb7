"""The counter's hands in the browser: every touch of the screen is counted."""

import re
import subprocess
from pathlib import Path

import zxingcpp
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from shoprepair.gear.models import Pattern
from shoprepair.jobs import checkin, damages
from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current

CUT_AT_M = (0.30, 0.02)


class Hands:
    """Touches what the counter touches, and counts."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps = page, 0

    def tap(self, target: Locator) -> None:
        """A finger on a button, a link or a card."""
        target.scroll_into_view_if_needed()
        target.tap()
        self.taps += 1

    def tap_drawing(self, x_m: float, y_m: float) -> None:
        """A finger on the drawing, at a place in metres."""
        at = on_screen(self.page, x_m, y_m)
        self.page.touchscreen.tap(at["x"], at["y"])
        self.taps += 1

    def say(self, question: str, answer: str) -> None:
        """Answer a question of the panel, and wait until the verdict has heard it."""
        card = self.page.get_by_role("group", name=question).get_by_role("radio", name=answer, exact=True)
        with self.page.expect_response(lambda response: "/damages/" in response.url):
            self.tap(card)
        expect(card).to_be_checked()


def expect_kept(page: Page, number: int, words: str) -> None:
    """The shop has kept these words about a damage: its tab says so."""
    expect(page.locator(f"[data-tab='{number}']")).to_have_attribute(
        "title", re.compile(words), timeout=15_000
    )


def on_screen(page: Page, x_m: float, y_m: float) -> dict[str, float]:
    """Where a place of the drawing is on the screen."""
    svg = page.locator("#drawing svg.diagram")
    svg.scroll_into_view_if_needed()
    return svg.evaluate(
        "(svg, at) => { const p = new DOMPoint(at[0], at[1]).matrixTransform(svg.getScreenCTM());"
        " return {x: p.x, y: p.y}; }",
        [x_m, y_m],
    )


def known_customer(who: Staff, name: str = "Ida Quist") -> None:
    """Somebody who was here before, with a wing."""
    customer = checkin.add_customer(name, who=who, phone="+1 555 0134", email="ida@example.org")
    wing = Pattern.objects.get(name="Holm 5.0 wing")
    checkin.add_inflatable(customer, wing, who=who, serial="HO-2041", colour="coral")
    shop = current()
    shop.terms = "We quote before we sew."
    shop.save()


def begun(who: Staff, *, pinned: int = 0, name: str = "Ida Quist") -> Job:
    """A visit begun, with so many damages pinned along the leading edge."""
    known_customer(who, name)
    ownership = checkin.Ownership.objects.latest("pk")
    job = checkin.start(ownership.customer, ownership.inflatable, who=who)
    for n in range(pinned):
        damages.pin(job, 0.25 + 0.01 * n, 0.02, who=who)
    return job


def text_of(pdf: Path) -> str:
    """The words of a PDF, as somebody reads them."""
    return subprocess.run(
        ["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True
    ).stdout


def codes_of(pdf: Path) -> list[str]:
    """What the codes on a printed PDF say to a phone."""
    subprocess.run(["pdftoppm", "-r", "200", "-png", pdf, pdf.with_suffix("")], check=True)
    return [
        code.text
        for picture in sorted(pdf.parent.glob(f"{pdf.stem}-*.png"))
        for code in zxingcpp.read_barcodes(Image.open(picture))
    ]
