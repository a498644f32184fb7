"""What a finger meets in a real browser: the pin under it, the pin once it is kept, the photo just taken."""

import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.urls import reverse
from playwright.sync_api import Page, sync_playwright

from shoprepair.jobs.models import Job, Stage
from tests.browser.counter_work import on_screen
from tests.measure import kept
from tests.measure.reckoning import twelve_megapixels
from tests.measure.said import Said
from tests.measure.served import executable, log_in, served

TAPS, DROPPED = 15, 3
"""The first ones load what is loaded once."""
FRAMES, SWAP, SLOW_LINE_MS = 2, 3.5, 300
TABLET = {"width": 1180, "height": 820}
_WATCH = """() => {
  window.met = {ghosts: [], swaps: [], seen: null};
  let lifted = 0;
  document.addEventListener("pointerdown", () => {
    let frames = 0;
    const look = () => {
      frames += 1;
      const ghost = document.querySelector(".ghost");
      if (ghost && ghost.getBoundingClientRect().width > 0) window.met.ghosts.push(frames);
      else if (frames < 60) requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  }, true);
  document.addEventListener("pointerup", () => { lifted = performance.now(); }, true);
  document.addEventListener("htmx:afterSwap", () => {
    if (lifted) window.met.swaps.push(performance.now() - lifted);
    lifted = 0;
  });
  document.addEventListener("change", event => {
    if (event.target.type !== "file") return;
    const began = performance.now();
    const look = () => {
      const images = document.querySelectorAll(".photo[data-state='waiting'] img");
      const image = images[images.length - 1];
      if (image && image.complete && image.naturalWidth) window.met.seen = performance.now() - began;
      else if (performance.now() - began < 20000) requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  }, true);
}"""
_PARTS = """() => Array.from(document.querySelectorAll("#drawing [data-region]"))
  .map(part => [parseFloat(part.dataset.x), parseFloat(part.dataset.y)])"""
_BARE = """async () => {
  const began = performance.now();
  await (await fetch("/alive/", {cache: "no-store"})).text();
  return performance.now() - began;
}"""


def measured() -> Iterator[Said]:
    """In a copy of the demo shop, for what is pinned stays there."""
    job = Job.objects.filter(stage=Stage.CHECKED_IN).order_by("damage_count", "-pk")[0]
    path = reverse("job-check-in", args=[job.number])
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "shop"
        shutil.copytree(kept.demo(), copy)
        with served(copy) as shop, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=executable())
            context = browser.new_context(viewport=TABLET, locale="en-GB")
            log_in(context, shop.base, "counter")
            page = context.new_page()
            page.goto(shop.base + path)
            page.evaluate(_WATCH)
            yield from _taps(page)
            yield from _photo(page, Path(folder))
            browser.close()


def _taps(page: Page) -> Iterator[Said]:
    bare, parts = [], page.evaluate(_PARTS)
    for number in range(TAPS):
        with page.expect_response(lambda answer: "/pin/" in answer.url):
            _tap(page, *parts[number])
        _until(page, f"window.met.swaps.length > {number}")
        bare.append(page.evaluate(_BARE))
    met: dict[str, Any] = page.evaluate("window.met")
    swap, request = min(met["swaps"][DROPPED:]), min(bare[DROPPED:])
    yield Said("a tap: frames until the pin is seen", max(met["ghosts"]), FRAMES, unit="")
    note = f"{swap:.0f} ms, {request:.1f} ms"
    yield Said("a tap: kept by the shop and drawn anew, to a bare request", swap / request, SWAP, note=note)
    line = page.context.new_cdp_session(page)
    slow = {"offline": False, "latency": SLOW_LINE_MS, "downloadThroughput": -1, "uploadThroughput": -1}
    line.send("Network.enable")
    line.send("Network.emulateNetworkConditions", slow)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    with page.expect_response(lambda answer: "/pin/" in answer.url):
        _tap(page, *parts[TAPS])
    _until(page, f"window.met.swaps.length > {TAPS}")
    met = page.evaluate("window.met")
    yield Said("a tap on a slow line: frames until the pin is seen", met["ghosts"][-1], FRAMES, unit="")
    yield Said("a tap on a slow line: round trips until it is kept", len(asked), 1, unit="")
    line.detach()


def _photo(page: Page, folder: Path) -> Iterator[Said]:
    file = folder / "photo.jpg"
    file.write_bytes(twelve_megapixels())
    with page.expect_response(lambda answer: "/photos/" in answer.url) as answered:
        page.locator("input[type=file]").first.set_input_files(file)
    took = answered.value.request.timing["responseStart"]
    _until(page, "window.met.seen !== null")
    seen = page.evaluate("window.met.seen")
    note = f"{seen:.0f} ms, {took:.0f} ms"
    yield Said("a photo is seen, to the shop's answer", seen / took, 1, note=note)


def _tap(page: Page, x_m: float, y_m: float) -> None:
    # Two taps close to one another and soon after are one, so that a finger that trembles pins once.
    page.wait_for_timeout(700)
    at = on_screen(page, x_m, y_m)
    page.mouse.click(at["x"], at["y"])


def _until(page: Page, what: str) -> None:
    """The shop's pages let no text become a program, which is how a browser would wait by itself."""
    until = time.monotonic() + 20
    while not page.evaluate(what):
        assert time.monotonic() < until, what
        page.wait_for_timeout(10)
