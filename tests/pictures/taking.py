"""Takes the pictures of one served shop: every page at every size, with one browser and one log-in each."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Error, Page, StorageState

from tests.measure.served import log_in
from tests.pictures.table import BY_HAND, KINDS, PRINT, SIZES, SPECIAL, THEMED, THEMES, Special

BROKEN = 500
TALLEST = 16_000
"""Pixels down a page that are pictured."""
PATIENCE_MS = 20_000
LET_GO = """() => document.querySelectorAll("body *").forEach(each => {
  if (getComputedStyle(each).position === "sticky") each.style.position = "static";
})"""
"""What sticks to the edge of a window would lie across the middle of a picture of the whole page."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What somebody wants to see: all of it where nothing is said."""

    only: Sequence[str] = ()
    """Names of screens, or what they begin with."""
    sizes: Sequence[str] = KINDS
    states: Sequence[str] = ()

    def has(self, screen: str, state: str) -> bool:
        named = not self.only or any(screen == one or screen.startswith(f"{one}-") for one in self.only)
        return named and (not self.states or state in self.states)


@dataclass(frozen=True, slots=True)
class Picture:
    """One file of the sheet: which screen it shows, in which state, at which size."""

    screen: str
    state: str
    size: str

    @property
    def name(self) -> str:
        """Where it lies in the folder of the sheet."""
        return f"{slug(self.screen)}/{slug(self.state)}-{self.size}.png"


def slug(name: str) -> str:
    """The name as that of a file: 'c/<path:rest>' is 'c-path-rest'."""
    return re.sub(r"\W+", "-", name).strip("-")


def is_paper(address: str) -> bool:
    return address.endswith(".pdf")


@dataclass
class Camera:
    """Takes the pictures of one shop into a folder, and remembers what it took and what was wrong."""

    browser: Browser
    base: str
    shop: str
    into: Path
    wish: Wish
    taken: list[Picture] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)
    _logged_in: dict[str, StorageState] = field(default_factory=dict)

    def screens(self, addresses: Mapping[str, str]) -> None:
        """Every page of the shop as it stands there, then those that take a hand."""
        pages = {screen: where for screen, where in addresses.items() if ":" not in screen}
        if self.shop in BY_HAND:
            pages = {}
        with self.context("owner") as context:
            page = context.new_page()
            for screen, where in pages.items():
                if not is_paper(where) and self.wish.has(screen, self.shop):
                    with self.missing(screen, self.shop):
                        if self._go(page, where) >= BROKEN:
                            self.missed.append(f"{screen}, {self.shop}: {where} broke")
                        # A page that leads elsewhere here is pictured there, or as one that takes a hand.
                        if page.url.removeprefix(self.base).partition("?")[0] == where:
                            self._all(page, screen, self.shop)
        for special in SPECIAL:
            where = _address(special, addresses)
            if special.shop == self.shop and where and self.wish.has(special.screen, special.state):
                with self.missing(special.screen, special.state):
                    self._special(special, where)

    def keep(self, picture: Picture, take: Callable[[Path], object]) -> None:
        """Let `take` write one picture to where it belongs."""
        path = self.into / picture.name
        path.parent.mkdir(parents=True, exist_ok=True)
        take(path)
        self.taken.append(picture)

    @contextmanager
    def context(self, who: str) -> Iterator[BrowserContext]:
        """A browser in which somebody is logged in, or nobody."""
        if self.shop == "nobody":
            who = "nobody"
        if who != "nobody" and who not in self._logged_in:
            first = self.browser.new_context()
            log_in(first, self.base, who)
            self._logged_in[who] = first.storage_state()
            first.close()
        context = self.browser.new_context(
            storage_state=self._logged_in.get(who), has_touch=True, reduced_motion="reduce"
        )
        context.set_default_timeout(PATIENCE_MS)
        yield context
        context.close()

    def _special(self, special: Special, where: str) -> None:
        with self.context(special.who) as context:
            page = context.new_page()
            self._size(page, next((size for size in self.wish.sizes if size in SIZES), "tablet"))
            self._go(page, where)
            special.act(page)
            self._all(page, special.screen, special.state)

    def _all(self, page: Page, screen: str, state: str) -> None:
        """The page as it stands, at every size and in every light that is asked for."""
        themes = THEMES if state == THEMED else ("light",)
        for size in (size for size in self.wish.sizes if size in SIZES):
            self._size(page, size)
            for theme in themes:
                page.emulate_media(media="screen", color_scheme=theme)
                self._shoot(page, Picture(screen, state, size if theme == "light" else f"{size}-{theme}"))
        if state == THEMED and "print" in self.wish.sizes:
            page.set_viewport_size({"width": PRINT[0], "height": PRINT[1]})
            page.emulate_media(media="print", color_scheme="light")
            self._shoot(page, Picture(screen, state, "print"))
        page.emulate_media(media="screen", color_scheme="light")

    def _shoot(self, page: Page, picture: Picture) -> None:
        page.evaluate(LET_GO)
        width = page.viewport_size["width"]
        if beyond := page.evaluate("document.documentElement.scrollWidth") - width:
            self.missed.append(f"{picture.name}: {beyond} px wider than its window")
        height = min(TALLEST, page.evaluate("document.documentElement.scrollHeight"))
        clip = {"x": 0, "y": 0, "width": width, "height": height}
        self.keep(picture, lambda path: page.screenshot(path=path, full_page=True, clip=clip))

    def _go(self, page: Page, where: str) -> int:
        """Open the page; the status that it was answered with."""
        answer = page.goto(f"{self.base}{where}")
        page.wait_for_load_state("networkidle")
        return answer.status if answer else 0

    def _size(self, page: Page, size: str) -> None:
        width, height = SIZES[size]
        page.set_viewport_size({"width": width, "height": height})

    @contextmanager
    def missing(self, screen: str, state: str) -> Iterator[None]:
        """What cannot be pictured is told at the end, and the rest is taken all the same."""
        try:
            yield
        except Error as error:
            self.missed.append(f"{screen}, {state}: {error.message.splitlines()[0]}")


def _address(special: Special, addresses: Mapping[str, str]) -> str | None:
    at = special.at or special.screen
    return at if at.startswith("/") else addresses.get(at)
