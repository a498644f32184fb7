"""Somebody who hears the page or speaks to it: all is found by its role and its name alone.

A `Voice` asks for one thing at a time and takes nothing that two things answer to.
"""

import datetime
import re
from typing import Any

from playwright.sync_api import Locator, Page, expect


class Voice:
    """Names spoken to one page."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def go(self, address: str) -> None:
        """A page by its address; its title says which one it is."""
        self.page.goto(address)
        assert self.page.title().partition("·")[0].strip()

    def press(
        self,
        role: Any,
        name: str | re.Pattern[str],
        *,
        within: Locator | None = None,
        exact: bool = False,
        first: bool = False,
    ) -> None:
        """Press the one button or link of this name; the first, where several are asked for."""
        sought = (within or self.page).get_by_role(role, name=name, exact=exact)
        (sought.first if first else sought).press("Enter")

    def tick(self, name: str, *, within: Locator | None = None, exact: bool = False) -> None:
        """Tick the one box of this name."""
        (within or self.page).get_by_role("checkbox", name=name, exact=exact).press("Space")

    def write(self, name: str, words: str, *, exact: bool = False) -> None:
        """Write into the one field of this name."""
        field = self.page.get_by_label(name, exact=exact).and_(self.page.locator("input, textarea"))
        field.filter(visible=True).fill(words)

    def pin(self) -> None:
        """Say the part of the drawing where it is damaged."""
        self.page.get_by_role("link", name="Leading edge right, second segment").press("Enter")

    def set(self, name: str, moment: datetime.datetime) -> None:
        """A time, in the one field of this name."""
        self.page.get_by_label(name).fill(f"{moment:%Y-%m-%dT%H:%M}")

    def choose(self, group: str, answer: str) -> None:
        """Answer the one question of this name."""
        card = self.page.get_by_role("group", name=group).get_by_role("radio", name=answer, exact=True)
        card.check(force=True)
        expect(card).to_be_checked()

    def select(self, name: str, option: str) -> None:
        """Choose from the one list of this name."""
        self.page.get_by_role("combobox", name=name).select_option(label=option)

    def open(self, words: str) -> None:
        """Open what opens by these words."""
        self.page.locator("summary").filter(has_text=words, visible=True).click()

    def give(self, name: str, file: dict[str, Any]) -> None:
        """Hand a file to the one field of this name."""
        self.page.get_by_label(name).set_input_files([file])
