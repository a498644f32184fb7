"""At what size a shop outgrows one file: `python -m tests.measure.growing [SECONDS]`.

The shop is served as in a shop, once with the embedded database and once with a PostgreSQL server. So many
people write at once, each a new customer a second, while one reads the rack as fast as it comes. Of every
step a line of JSON says how many were written, what share of what was wanted, how long 19 of 20 took at
most, how often the rack came, and how much processor a request cost; and at the end, in sentences, what was
used up first and from where on PostgreSQL or a second machine pays. Counts and ratios say more than seconds:
other programs may run beside.
"""

import json
import os
import signal
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

WRITERS = (1, 5, 20, 60)
PAUSE_S = 1.0
SECONDS = 6.0
ENOUGH, FULL, PAYS = 0.95, 0.8, 1.1
"""Of what was wanted; of the processors, since others need some as well; of what one file takes."""
COUNTER_S = 30.0
"""At a counter somebody saves something so often."""
TICKS_A_SECOND = os.sysconf("SC_CLK_TCK")


def main(seconds: float) -> None:
    """Measure both, and compare them."""
    from tests import postgres

    found: dict[str, list[dict[str, Any]]] = {}
    with shop({}) as served:
        found["sqlite"] = [step("sqlite", served, writers, seconds) for writers in WRITERS]
    if postgres.is_here():
        with postgres.running() as server, shop({"DATABASE_URL": server.create("loft")}) as served:
            found["postgresql"] = [step("postgresql", served, writers, seconds) for writers in WRITERS]
    for ours, theirs in zip(found["sqlite"], found.get("postgresql", []), strict=False):
        said = {name: round(theirs[name] / ours[name], 2) for name in ("written", "pages") if ours[name]}
        print(
            json.dumps({"what": "postgresql against sqlite", "writers": ours["writers"], **said}), flush=True
        )
    for database, steps in found.items():
        print(f"{database}: {used_up_first(steps)}", flush=True)
    if "postgresql" in found:
        print(who_pays(found["sqlite"], found["postgresql"]), flush=True)


def used_up_first(steps: list[dict[str, Any]], cores: int = os.cpu_count() or 1) -> str:
    """What keeps people waiting first, and from how many on, in a sentence."""
    short = next((step for step in steps if step["of wanted"] < ENOUGH), None)
    step = short or max(steps, key=lambda each: each["writers"])
    busy = step["processors busy with it"]
    said = f"with {step['writers']} changes a second and {busy:.1f} of {cores} processors busy"
    if short is None:
        return f"nothing is used up {said}."
    if busy >= FULL * cores:
        more = "more of them pay, then a second machine that serves, which needs PostgreSQL"
        return f"the processors are used up first, {said}: {more}."
    return f"changes wait for one another first, {said}: a second machine would not help."


def who_pays(ours: list[dict[str, Any]], theirs: list[dict[str, Any]]) -> str:
    """From how many changes a second PostgreSQL takes more of them than one file, in a sentence."""
    for one, other in zip(ours, theirs, strict=True):
        if other["written"] >= PAYS * one["written"]:
            gain, people = other["written"] / max(1, one["written"]), one["writers"] * COUNTER_S
            said = f"PostgreSQL pays from {one['writers']} changes a second on: {gain:.1f} times as many"
            return f"{said}. At a counter so many are what {people:.0f} people do."
    return f"PostgreSQL takes no more than one file, up to {ours[-1]['writers']} changes a second."


@contextmanager
def shop(more: dict[str, str]) -> Iterator[Any]:
    """A shop with some customers and jobs, served."""
    from tests.soak.served import ServedShop

    class Shop(ServedShop):
        @property
        def environment(self) -> dict[str, str]:
            return super().environment | {"SHOPREPAIR_WORKER": "apart"} | more

    with tempfile.TemporaryDirectory(prefix="shop-growing-") as folder:
        served = Shop(Path(folder))
        try:
            served.seeded(5)
            served.start()
            yield served
        finally:
            served.ends()


def step(database: str, served: Any, writers: int, seconds: float) -> dict[str, Any]:
    """So many write for some seconds, and one reads."""
    from tests.soak.client import Browser
    from tests.soak.seed import PASSWORD

    first = Browser(served.port)
    first.log_in("maja", PASSWORD)
    first.get("/")
    until, took, refused, pages = time.monotonic() + seconds, [], [], []

    def browser() -> Browser:
        one = Browser(served.port)
        one.cookies = dict(first.cookies)
        return one

    def write(one: Browser, place: int) -> None:
        time.sleep(PAUSE_S * place / writers)
        while (began := time.monotonic()) < until:
            status, _ = one.post("/check-in/customer/", {"name": f"Writer {place} at {began}", "sure": "1"})
            (took if status == 302 else refused).append(time.monotonic() - began)
            time.sleep(max(0.0, PAUSE_S - (time.monotonic() - began)))

    def read(one: Browser) -> None:
        while time.monotonic() < until:
            began = time.monotonic()
            if one.get("/")[0] == 200:
                pages.append(time.monotonic() - began)

    cost = spent_s(served)
    threads = [threading.Thread(target=write, args=(browser(), place)) for place in range(writers)]
    threads.append(threading.Thread(target=read, args=(browser(),)))
    began = time.monotonic()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    lasted, cost = time.monotonic() - began, spent_s(served) - cost
    said = {
        "what": database,
        "writers": writers,
        "written": len(took),
        "of wanted": round(len(took) / (writers * seconds / PAUSE_S), 2),
        "refused": len(refused),
        "19 of 20 within s": round(late(took), 2),
        "pages": len(pages),
        "a page within s": round(late(pages), 2),
        "processor ms a request": round(1000 * cost / max(1, len(took) + len(pages)), 1),
        "processors busy with it": round(cost / lasted, 2),
    }
    print(json.dumps(said), flush=True)
    return said


def late(took: list[float]) -> float:
    """Within how many seconds 19 of 20 were done."""
    return statistics.quantiles(took, n=20)[-1] if len(took) > 1 else sum(took)


def spent_s(served: Any) -> float:
    """Processor seconds of the server's processes so far."""
    ticks = 0
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = path.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[2]) == served.server.pid:
            ticks += int(fields[11]) + int(fields[12])
    return ticks / TICKS_A_SECOND


if __name__ == "__main__":
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.environment"
    import django

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    main(float(sys.argv[1]) if len(sys.argv) > 1 else SECONDS)
