"""Sixty at work and three hundred who read a status link, with the pauses that people make, for ten minutes.

The shop is served as a shop is, on this machine, with its readers beside it. What is told: errors, how long
19 of 20 pages took against the middle one of the quiet shop, whether memory grows, how busy the server's
processes were, and from that what is used up first. SHOPREPAIR_CROWD_S=60 makes it shorter.
"""

import itertools
import os
import random
import statistics
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Stage, StatusLink
from shoprepair.office.demo.people import LOG_INS
from tests.measure.said import Said
from tests.measure.served import served
from tests.soak.client import Browser, NoAnswer

STAFF, READERS = 60, 300
STAFF_PAUSE_S, READER_PAUSE_S = (4.0, 14.0), (15.0, 60.0)
SECONDS = float(os.environ.get("SHOPREPAIR_CROWD_S") or 600)
SLOWER, GROWS = 10.0, 1.1
CORES = os.cpu_count() or 1
FULL, WAITS_S = 0.8, 3.0
"""Of the processors, since the crowd needs some as well; a page that comes later than this waits."""
QUIET_ROUNDS = 12


@dataclass
class Told:
    """What the crowd met with."""

    took: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    errors: list[str] = field(default_factory=list)

    def open(self, browser: Browser, name: str, path: str) -> None:
        began = time.monotonic()
        try:
            status, _ = browser.get(path)
        except NoAnswer:
            status = 0
        self.took[name].append(time.monotonic() - began)
        if status != 200:
            self.errors.append(f"{name}: {status}")


def measured() -> Iterator[Said]:
    """Quiet first, then the crowd."""
    routes, outside = _routes(), _outside()
    with served() as shop:
        port = urlsplit(shop.base).port or 0
        people = {role: _logged_in(port, role) for role in routes}
        quiet = Told()
        for _ in range(QUIET_ROUNDS):
            for role, pages in routes.items():
                for name, path in pages.items():
                    quiet.open(people[role], name, path)
            quiet.open(Browser(port), "status link", outside[0])
        crowd, held = Told(), [shop.memory_mb()]
        busy = shop.spent_s()
        began = time.monotonic()
        _let_in(_visits(port, people, routes, outside, crowd), SECONDS, lambda: held.append(shop.memory_mb()))
        lasted = time.monotonic() - began
        busy = (shop.spent_s() - busy) / lasted
    yield from _figures(quiet, crowd, held, busy, lasted)


def _figures(quiet: Told, crowd: Told, held: list[float], busy: float, lasted: float) -> Iterator[Said]:
    pages = sum(map(len, crowd.took.values()))
    note = f"{pages:,} pages in {lasted:.0f} s; " + ", ".join(sorted(set(crowd.errors))[:3])
    yield Said(f"{STAFF} at work and {READERS} readers: errors", len(crowd.errors), 0, unit="", note=note)
    for name, took in crowd.took.items():
        middle, late = statistics.median(quiet.took[name]), statistics.quantiles(took, n=20)[-1]
        note = f"{middle * 1000:.0f} ms when quiet, 19 of 20 within {late * 1000:.0f} ms"
        yield Said(f"{name} in the crowd, to the quiet shop", late / middle, SLOWER, note=note)
    early = statistics.median(held[len(held) // 4 : len(held) // 2] or held)
    note = f"{held[0]:.0f} MB before, {early:.0f} MB early, {held[-1]:.0f} MB at the end, all processes"
    yield Said("memory at the end, to early in the crowd", held[-1] / early, GROWS, note=note)
    late = max(statistics.quantiles(took, n=20)[-1] for took in crowd.took.values())
    yield Said("processors busy with it", busy, float(CORES), unit="", note=used_up_first(busy, late))


def used_up_first(busy: float, late_s: float) -> str:
    """What a larger crowd would wait for, and how large it may be, in a sentence."""
    people = int(STAFF * FULL * CORES / max(busy, 0.01))
    if busy >= FULL * CORES:
        return f"of {CORES}: they are used up, so more of them pay, then PostgreSQL and a second machine"
    if late_s > WAITS_S:
        return f"of {CORES}: people wait for something else, such as changes for one another; see `growing`"
    return f"of {CORES}: nothing is used up yet; the processors are first, with about {people} at work"


def _routes() -> dict[str, dict[str, str]]:
    job = Job.objects.filter(stage=Stage.BENCH).order_by("-damage_count", "pk")[0]
    sheet = f"/jobs/{job.number}/"
    return {
        "counter": {"rack": "/", "job sheet": sheet, "search": "/search/?q=jor"},
        "bench": {"bench": "/bench/", "bench, one job": f"/bench/jobs/{job.number}/"},
        "owner": {"office": "/office/", "rack": "/"},
    }


def _outside() -> list[str]:
    live = StatusLink.objects.filter(withdrawn_at=None, job__is_open=True).order_by("pk")[:60]
    return [links.path(link) for link in live]


def _logged_in(port: int, role: str) -> Browser:
    known = next(each for each in LOG_INS if each.role == role)
    browser = Browser(port)
    browser.log_in(known.username, known.password)
    return browser


def _visits(
    port: int,
    people: dict[str, Browser],
    routes: dict[str, dict[str, str]],
    outside: list[str],
    crowd: Told,
) -> list[Callable[[threading.Event], None]]:
    """What each of them does until it is over."""

    def works(role: str, number: int) -> Callable[[threading.Event], None]:
        def at_work(over: threading.Event) -> None:
            browser, chance = Browser(port), random.Random(number)
            browser.cookies = dict(people[role].cookies)
            pages = itertools.cycle(routes[role].items())
            over.wait(chance.uniform(0, STAFF_PAUSE_S[1]))
            while not over.is_set():
                crowd.open(browser, *next(pages))
                over.wait(chance.uniform(*STAFF_PAUSE_S))

        return at_work

    def reads(number: int) -> Callable[[threading.Event], None]:
        def outside_it(over: threading.Event) -> None:
            chance = random.Random(1000 + number)
            browser = Browser(port, f"127.0.{1 + number // 200}.{1 + number % 200}")
            over.wait(chance.uniform(0, READER_PAUSE_S[1]))
            while not over.is_set():
                crowd.open(browser, "status link", outside[number % len(outside)])
                over.wait(chance.uniform(*READER_PAUSE_S))

        return outside_it

    roles = ("counter", "counter", "bench", "bench", "owner")
    return [works(roles[n % len(roles)], n) for n in range(STAFF)] + [reads(n) for n in range(READERS)]


def _let_in(
    visits: list[Callable[[threading.Event], None]], seconds: float, look: Callable[[], None]
) -> None:
    over = threading.Event()
    threading.stack_size(256 * 1024)
    threads = [threading.Thread(target=visit, args=(over,)) for visit in visits]
    for thread in threads:
        thread.start()
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        time.sleep(min(5.0, max(0.1, until - time.monotonic())))
        look()
    over.set()
    for thread in threads:
        thread.join()
