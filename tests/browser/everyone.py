"""What keeps somebody out of a page, each kind as a list of sentences: names, outline, room, large letters.

The browser's own accessibility tree says what each control is called; the scripts beside this
module gather what is seen. A page that keeps nobody out gives empty lists.
"""

import re
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

Heard = dict[str, Any]

FINGER_PX, GLOVE_PX = 48, 56
LETTERS_PX = 16
_HERE = Path(__file__).parent


def _script(name: str) -> str:
    return (_HERE / f"{name}.js").read_text()


_SCRIPTS = {name: _script(name) for name in ("heard", "sized", "large", "told", "refused")}
_MOVES = """() => [...document.querySelectorAll("*")].flatMap(one => ["", "::before", "::after"].map(part => {
  const style = getComputedStyle(one, part || null);
  const longest = (list) => Math.max(...list.split(",").map(parseFloat));
  const moves = style.animationName !== "none" && longest(style.animationDuration) > 0.05;
  return moves || longest(style.transitionDuration) > 0.05 || style.scrollBehavior === "smooth"
    ? one.outerHTML.slice(0, 120) + part : "";
})).filter(Boolean)"""
_UNSENT = """() => [...document.querySelectorAll("form")].filter(form => {
    const sends = [...form.elements].filter(one => one.matches("button:not([type=button]), [type=submit]"));
    const meant = sends.length || form.matches("[data-hx-post], [data-hx-get]");
    return form.checkVisibility() && meant && !sends.some(one => one.checkVisibility())
      && !form.querySelector("[type=search]");
  })
  .map(form => form.outerHTML.replace(/\\s+/g, " ").slice(0, 160))"""


def heard(page: Page) -> Heard:
    """The page as a screen reader's user meets it: every control with its accessible name besides."""
    found: Heard = page.evaluate(_SCRIPTS["heard"])
    for n, (role, name, description) in _named(page).items():
        found["controls"][n] |= {"role": role, "name": name, "description": description}
    found["controls"] = [one for one in found["controls"] if "name" in one]
    return found


def _named(page: Page) -> dict[int, tuple[str, str, str]]:
    """Role, name and description of what `heard.js` marked, from the browser's accessibility tree."""
    line = page.context.new_cdp_session(page)
    line.send("DOM.enable")
    nodes = line.send("DOM.getFlattenedDocument", {"depth": -1})["nodes"]
    marked = {}
    for node in nodes:
        names = node.get("attributes", [])
        attributes = dict(zip(names[::2], names[1::2], strict=True))
        if "data-heard" in attributes:
            marked[node["backendNodeId"]] = int(attributes["data-heard"])
    tree = line.send("Accessibility.getFullAXTree")["nodes"]
    line.detach()
    return {
        marked[node["backendDOMNodeId"]]: tuple(
            str(node.get(part, {}).get("value", "")) for part in ("role", "name", "description")
        )
        for node in tree
        if node.get("backendDOMNodeId") in marked and not node["ignored"]
    }


def unheard(page: Page) -> list[str]:
    """What a screen reader's user would not find, or find two of."""
    found = heard(page)
    return [*_nameless(found), *_twice(found), *_said_otherwise(found), *_outline(found), *_rest(found)]


def _nameless(found: Heard) -> Iterator[str]:
    for one in found["controls"]:
        if not one["name"].strip():
            yield f"has no name: {one['html']}"


def _twice(found: Heard) -> Iterator[str]:
    """Controls of one name that do different things. A field may be told apart by its group."""
    same = defaultdict(list)
    for one in found["controls"]:
        presses = one["role"] in ("link", "button", "DisclosureTriangle")
        same[(one["role"], one["name"], one["description"], "" if presses else one["group"])].append(one)
    for (role, name, *_), ones in same.items():
        do = {one["target"] for one in ones}
        if len(ones) > 1 and (not all(do) or len(do) > 1):
            yield f"{len(ones)} × {role} “{name}”: {ones[0]['html'][:110]} … {ones[1]['html'][:110]}"


def _letters(words: str) -> str:
    return re.sub(r"[\W_]+", " ", words).strip().casefold()


def _said_otherwise(found: Heard) -> Iterator[str]:
    """Whoever speaks to the machine says what stands there (WCAG 2.5.3)."""
    for one in found["controls"]:
        if _letters(one["seen"]) not in _letters(one["name"]):
            yield f"reads “{one['seen']}” and is called “{one['name']}”: {one['html'][:90]}"


def _outline(found: Heard) -> Iterator[str]:
    levels = [level for level, _ in found["headings"]]
    if levels.count(1) != 1:
        yield f"{levels.count(1)} headings of the first level"
    for (above, _), (below, words) in zip(found["headings"], found["headings"][1:], strict=False):
        if below > above + 1:
            yield f"a heading of level {below} under one of level {above}: “{words[:60]}”"


def _rest(found: Heard) -> Iterator[str]:
    if not found["lang"]:
        yield "no language"
    if not found["title"].partition("·")[0].strip():
        yield f"no title of its own: “{found['title']}”"
    if found["mains"] != 1:
        yield f"{found['mains']} main parts"
    if len(set(found["navs"])) < len(found["navs"]) or (len(found["navs"]) > 1 and "" in found["navs"]):
        yield f"ways to go on that are not told apart: {found['navs']}"
    for kind in ("pictures", "drawings", "tables"):
        yield from (f"{kind} without words: {one}" for one in found[kind])
    yield from (f"out of its order for the Tab key: {one}" for one in found["ahead"])


def too_wide(page: Page) -> list[str]:
    """Whether it must be scrolled sideways."""
    wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    return [f"{wider} px wider than the screen"] if wider > 0 else []


def too_small(page: Page, least: int) -> list[str]:
    """What a finger would miss."""
    return page.evaluate(_SCRIPTS["sized"], least)


@contextmanager
def twice_as_large(page: Page) -> Iterator[None]:
    """As for somebody whose browser writes everything twice as large."""
    line = page.context.new_cdp_session(page)
    line.send("Page.setFontSizes", {"fontSizes": {"standard": 2 * LETTERS_PX, "fixed": 2 * LETTERS_PX}})
    yield
    line.send("Page.setFontSizes", {"fontSizes": {"standard": LETTERS_PX, "fixed": 13}})
    line.detach()


def large_letters(page: Page) -> list[str]:
    """What is cut off or written over where everything is written twice as large."""
    with twice_as_large(page):
        return [*too_wide(page), *page.evaluate(_SCRIPTS["large"])]


def untold(page: Page) -> list[str]:
    """What is chosen and does not look so in colours that somebody forces on every page."""
    page.emulate_media(forced_colors="active")
    found = page.evaluate(_SCRIPTS["told"])
    page.emulate_media(forced_colors="none")
    return found


def moving(page: Page) -> list[str]:
    """What moves for somebody who asked for stillness."""
    return page.evaluate(_MOVES)


def unsent(page: Page) -> list[str]:
    """Forms that nothing sends where no script runs.

    A search is sent by the Enter key; and a form whose button is withheld from this person has none at all.
    """
    return page.evaluate(_UNSENT)


def unexplained(page: Page) -> list[str]:
    """After a form was refused: what is wrong without a word at its field, and words without their field."""
    return page.evaluate(_SCRIPTS["refused"])
