"""A shop killed without a word in the middle of its work, again and again."""

import itertools
import json
import os
import random
import statistics
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings

from tests.soak.client import Browser
from tests.soak.load import Ledger, Person, at_the_bench, at_the_till, outside, taking_in
from tests.soak.seed import PASSWORD
from tests.soak.served import ServedShop

ROUNDS = int(os.environ.get("SHOPREPAIR_SOAK") or 100)
ALL_AT_ONCE = 0.25
"""How often the whole server is killed; else one of those who serve, while the others go on."""
PATIENCE_S = 20
"""No kill waits longer for its turn, even where hardly anything is acknowledged."""
pytestmark = [
    pytest.mark.soak,
    pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="finds the server's workers there"),
]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[ServedShop]:
    served = ServedShop(tmp_path)
    yield served
    served.ends()


class Judge:
    """Beside the shop, and never killed."""

    def __init__(self, shop: ServedShop) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.soak.judge"],
            cwd=settings.BASE_DIR,
            env=shop.environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def looks(self, ledger: Ledger) -> dict[str, Any]:
        """What is wrong in the shop as it lies there now."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write(json.dumps(ledger.stands()) + "\n")
        self._process.stdin.flush()
        found: dict[str, Any] = json.loads(self._process.stdout.readline())
        return found

    def goes(self) -> None:
        self._process.communicate()


def crew(shop: ServedShop, world: dict[str, Any], ledger: Ledger) -> list[Person]:
    """Two who take in, two at the till, two at the bench, one outside."""

    def logged_in(name: str) -> Browser:
        browser = Browser(shop.port)
        browser.log_in(name, PASSWORD)
        return browser

    fresh, ready, steps = iter(world["fresh"]), iter(world["ready"]), world["steps"]
    return [
        *(Person(logged_in("maja"), taking_in(fresh), ledger) for _ in range(2)),
        *(Person(logged_in("runa"), at_the_till(ready), ledger, 0.1) for _ in range(2)),
        *(Person(logged_in("tomek"), at_the_bench(step), ledger) for step in steps[:2]),
        Person(Browser(shop.port), outside(shop.port), ledger, 0.3),
    ]


@contextmanager
def at_work(people: list[Person]) -> Iterator[None]:
    over = threading.Event()
    threads = [threading.Thread(target=person.live, args=(over,)) for person in people]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        over.set()
        for thread in threads:
            thread.join()


def test_nothing_acknowledged_is_lost_and_nothing_is_half_after_kills_at_any_moment(shop: ServedShop) -> None:
    chance = random.Random(ROUNDS)
    world, ledger, judge = shop.seeded(ROUNDS), Ledger(), Judge(shop)
    shop.start()
    people, wrong, kills, starts = crew(shop, world, ledger), [], Counter(), []
    began = time.monotonic()
    for turn in range(1, ROUNDS + 1):
        starts.append(shop.start())
        with at_work(people):
            ledger.grows(chance.randint(1, 25), PATIENCE_S)
            time.sleep(chance.uniform(0, 0.1))
            if chance.random() < ALL_AT_ONCE:
                kills["all at once"] += 1
                shop.kill()
            else:
                kills["one worker"] += 1
                shop.kill_one_worker(chance)
                ledger.grows(3, PATIENCE_S)
        seen = judge.looks(ledger)
        wrong += [f"after kill {turn}: {each}" for each in seen["wrong"]]
        print(f"kill {turn}: {len(ledger.acknowledged)} acknowledged, {len(wrong)} wrong", flush=True)
    shop.start()
    with at_work(people):
        ledger.grows(50, PATIENCE_S)
    seen = judge.looks(ledger)
    wrong += [f"at the end: {each}" for each in seen["wrong"]]
    judge.goes()
    _table(ledger, kills, [each for each in starts if each], time.monotonic() - began, seen["orphans"])
    assert not ledger.trouble, "\n".join(ledger.trouble[:10])
    assert not wrong, "\n".join(wrong[:20])
    assert not ledger.unsure


def _table(ledger: Ledger, kills: Counter[str], starts: list[float], took_s: float, orphans: int) -> None:
    done = Counter(act["what"] for act in ledger.acknowledged)
    rows = [
        *((f"kills, {how}", str(times)) for how, times in kills.items()),
        *((f"acknowledged: {what}", str(times)) for what, times in sorted(done.items())),
        ("acknowledged in all", str(sum(done.values()))),
        ("of these only when asked again", str(ledger.asked_again)),
        ("files that no row names", str(orphans)),
        ("until it answers again, median", f"{statistics.median(starts):.1f} s"),
        ("until a form is taken, median", f"{statistics.median(ledger.waits_s) * 1000:.0f} ms"),
        ("time", f"{took_s / 60:.1f} min"),
    ]
    print()
    for name, value in itertools.chain(rows):
        print(f"{name:36} {value:>10}")
