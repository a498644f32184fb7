"""What a page weighs on the way to a real browser, first and later, and how calmly it appears."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from django.urls import reverse
from playwright.sync_api import Browser, Page, sync_playwright

from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Stage, StatusLink
from tests.measure.said import Said
from tests.measure.served import executable, log_in, served

STAFF = {"first": 90, "later": 12}
OUTSIDE = {"first": 60, "later": 6}
"""Kilobytes over the wire, with everything."""
REQUESTS, SHIFT, BLOCKED_MS = 5, 0.02, 50
TABLET = {"width": 1180, "height": 820}

_LOOK = """() => new Promise(done => {
  let shift = 0, blocked = 0;
  const each = (type, act) =>
    new PerformanceObserver(list => list.getEntries().forEach(act)).observe({type, buffered: true});
  each("layout-shift", entry => { if (!entry.hadRecentInput) shift += entry.value });
  each("longtask", entry => { blocked += Math.max(0, entry.duration - 50) });
  setTimeout(() => done({shift, blocked}), 600);
})"""


@dataclass
class Wire:
    """What came over it."""

    bytes: int = 0
    requests: list[str] = field(default_factory=list)


def measured() -> Iterator[Said]:
    """The pages of the demo shop as it is served."""
    looked_at = pages()
    with served() as shop, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable())
        for role, paths in looked_at.items():
            for name, path in paths.items():
                yield from _looked_at(browser, shop.base, role, name, path)
        browser.close()


def pages() -> dict[str, dict[str, str]]:
    """Path of each page by name, by who opens it."""
    job = Job.objects.filter(stage=Stage.BENCH).order_by("-damage_count", "pk")[0]
    link = StatusLink.objects.filter(job__stage=Stage.QUOTE_OUT, withdrawn_at=None).order_by("pk")[0]
    return {
        "counter": {
            "rack": reverse("rack"),
            "job sheet": reverse("job", args=[job.number]),
            "check-in": reverse("check-in"),
        },
        "bench": {"bench": reverse("bench"), "bench, one job": reverse("bench-job", args=[job.number])},
        "owner": {"office": reverse("office"), "what fails": reverse("failing")},
        "": {"self-check": reverse("self-check"), "status link": links.path(link)},
    }


def _looked_at(browser: Browser, base: str, role: str, name: str, path: str) -> Iterator[Said]:
    """With nothing kept, then again with what a browser keeps."""
    # What a worker keeps on top is asked for beside the page, and once.
    context = browser.new_context(viewport=TABLET, locale="en-GB", service_workers="block")
    if role:
        log_in(context, base, role)
    page = context.new_page()
    most = STAFF if role else OUTSIDE
    for turn in ("first", "later"):
        with _wire(page, empty=turn == "first") as wire:
            page.goto(base + path, wait_until="networkidle")
        note = "" if turn == "later" else f"{len(wire.requests)} requests"
        yield Said(f"{name}: {turn} view", round(wire.bytes / 1000, 1), most[turn], unit="KB", note=note)
        if turn == "first":
            yield Said(f"{name}: requests", len(wire.requests), REQUESTS, unit="")
    seen = page.evaluate(_LOOK)
    yield Said(f"{name}: moves about while it appears", round(seen["shift"], 3), SHIFT, unit="")
    yield Said(f"{name}: time in which it does not answer", round(seen["blocked"]), BLOCKED_MS, unit="ms")
    context.close()


@contextmanager
def _wire(page: Page, *, empty: bool) -> Iterator[Wire]:
    """Bytes with their heads, as the browser counts them; what it kept counts nothing."""
    wire, session = Wire(), page.context.new_cdp_session(page)
    session.send("Network.enable")
    if empty:
        session.send("Network.clearBrowserCache")
    asked: dict[str, str] = {}

    def begun(event: dict) -> None:
        asked[event["requestId"]] = event["request"]["url"]

    def ended(event: dict) -> None:
        wire.bytes += event["encodedDataLength"]
        if event["encodedDataLength"]:
            wire.requests.append(asked.get(event["requestId"], ""))

    session.on("Network.requestWillBeSent", begun)
    session.on("Network.loadingFinished", ended)
    yield wire
    session.detach()
