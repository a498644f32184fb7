"""Somebody who has only a keyboard: every task is done by keys, and the focus is seen at every step.

A `Keyboard` walks with the Tab key until what is sought has the focus, as it is called in the
accessibility tree. On the way it complains of a focus that nobody sees, that something covers, or
that was lost when a part of the page was written anew.
"""

import datetime
import re
from pathlib import Path
from typing import Any

from playwright.sync_api import Error, Locator, Page, expect

MOST = 260
"""Tabs after which a page is taken for a trap, or what is sought for out of reach."""
Name = str | re.Pattern[str]
_FOCUS = (Path(__file__).parent / "focus.js").read_text()
_SETTLED = "() => !document.querySelector('.htmx-request, .htmx-swapping, .htmx-settling')"


class Keyboard:
    """Keys on one page."""

    def __init__(self, page: Page) -> None:
        self.page, self._walked_off = page, False

    def go(self, address: str) -> None:
        """A page by its address, as it is typed or kept among the marks."""
        self.page.goto(address)

    def press(self, role: str, name: Name, **how: Any) -> None:
        """Walk to a button or a link and press it."""
        self.to(role, name, **how)
        self._key("Enter")

    def tick(self, name: str, **how: Any) -> None:
        """Walk to a box and tick it."""
        self.to("checkbox", name, **how)
        self._key("Space")

    def write(self, name: str, words: str, **how: Any) -> None:
        """Walk to a field and write over what stands there."""
        field = self.page.get_by_label(name, **how).and_(self.page.locator("input, textarea"))
        self._walk(field.filter(visible=True), f"the field “{name}”")
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(words)

    def pin(self) -> None:
        """Walk to the drawing, with the arrows to its next part, and pin a damage there."""
        self._walk(self.page.locator("#drawing [data-region][tabindex='0']"), "the drawing")
        self._key("ArrowRight")
        self._look()
        self._key("Enter")

    def set(self, name: str, moment: datetime.datetime) -> None:
        """Walk to a time and type it part by part, as such fields take it."""
        self._walk(self.page.get_by_label(name), f"the field “{name}”")
        self.page.keyboard.type(f"{moment:%m%d%Y}")
        self.page.keyboard.press("ArrowRight")
        self.page.keyboard.type(f"{moment:%I%M%p}")

    def choose(self, group: str, answer: str) -> None:
        """Walk to a question and move with the arrows to one of its answers."""
        radios = self.page.get_by_role("group", name=group).get_by_role("radio")
        sought = self.page.get_by_role("group", name=group).get_by_role("radio", name=answer, exact=True)
        chosen = radios.and_(self.page.locator(":checked"))
        self._walk(chosen.first if chosen.count() else radios.first, f"the question “{group}”", any_of=radios)
        if not chosen.count():
            self.page.keyboard.press("Space")
        for _ in range(radios.count() + 1):
            if sought.is_checked():
                break
            self._key("ArrowDown")
        expect(sought).to_be_checked()
        expect(sought).to_be_focused()

    def select(self, name: str, option: str) -> None:
        """Walk to a list and type the beginning of one of its entries."""
        self.to("combobox", name)
        self.page.keyboard.type(option)

    def open(self, words: str) -> None:
        """Walk to what opens by these words, and open it."""
        opens = self.page.locator("summary").filter(has_text=words, visible=True)
        self._walk(opens, f"what opens: “{words}”")
        self._key("Enter")

    def give(self, name: str, file: dict[str, Any]) -> None:
        """Walk to a field for files, open the chooser by a key, and choose."""
        expect(self.page.locator(".htmx-request")).to_have_count(0)
        field = self.page.get_by_label(name)
        self._walk(field, f"the field for files “{name}”")
        with self.page.expect_file_chooser() as chooser:
            self._key("Enter")
        chooser.value.set_files([file])

    def to(
        self,
        role: Any,
        name: Name,
        *,
        within: Locator | None = None,
        exact: bool = False,
        first: bool = False,
    ) -> None:
        """Press Tab until this has the focus."""
        sought = (within or self.page).get_by_role(role, name=name, exact=exact)
        self._walk(sought.first if first else sought, f"{role} “{name}”")

    def skip(self) -> None:
        """Past the bar, by the first stop of every page."""
        self.to("link", "Skip to the content")
        self._key("Enter")
        expect(self.page.locator("main")).to_be_focused()

    def round(self) -> int:
        """Once around the page and out of it again: how many stops it has."""
        for stops in range(MOST):
            self._key("Tab")
            if self._look()["lost"]:
                self._walked_off = True
                return stops
        raise AssertionError(f"Whoever tabs into {self.page.url} does not come out of it.")

    def _walk(self, sought: Locator, said: str, any_of: Locator | None = None) -> None:
        expect((any_of or sought).first).to_be_attached()
        self._settle()
        here = self.page.evaluate(_FOCUS)
        if here["lost"] and not here["fresh"] and not self._walked_off:
            raise AssertionError(f"The focus was lost on {self.page.url} before {said}.")
        if self._has_it(sought, any_of):
            return
        self._mark(any_of or sought)
        for _ in range(MOST):
            self.page.keyboard.press("Tab")
            seen = self._look()
            self._walked_off = seen["lost"]
            if seen["sought"]:
                return
            if seen["lost"]:  # At the end of the page; what was sought may have been written anew meanwhile.
                self._mark(any_of or sought)
        raise AssertionError(f"{MOST} tabs on {self.page.url} do not lead to {said}.")

    def _mark(self, sought: Locator) -> None:
        marked = self.page.locator("[data-sought]")
        marked.evaluate_all("ones => ones.forEach(one => one.removeAttribute('data-sought'))")
        sought.evaluate_all("ones => ones.forEach(one => one.setAttribute('data-sought', ''))")

    def _has_it(self, sought: Locator, any_of: Locator | None) -> bool:
        has = "ones => ones.includes(document.activeElement)"
        return bool((any_of or sought).evaluate_all(has))

    def _look(self) -> dict[str, Any]:
        """Where the focus is; a complaint where nobody would see it."""
        seen: dict[str, Any] = self.page.evaluate(_FOCUS)
        for trouble in (seen.get("unseen"), seen.get("hidden")):
            assert not trouble, f"{self.page.url}: {trouble}"
        return seen

    def _key(self, key: str) -> None:
        self.page.keyboard.press(key)
        self._settle()

    def _settle(self) -> None:
        """What was pressed is answered."""
        for _ in range(3):
            try:
                self.page.wait_for_load_state()
                self.page.wait_for_function(_SETTLED)
            except Error:  # The page is on its way to the next one.
                continue
            return
