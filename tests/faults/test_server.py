"""The server itself under a crowd, standing still, told to stop, and killed while it changes its tables."""

import os
import random
import signal
import sqlite3
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings

from tests.soak.client import Browser, NoAnswer
from tests.soak.seed import PASSWORD
from tests.soak.served import ServedShop
from tests.test_post import members, wait_for

ROUNDS = int(os.environ.get("SHOPREPAIR_SOAK") or 100)
WRITERS = 20
PAPERS = 4
pytestmark = [
    pytest.mark.soak,
    pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="finds the server's workers there"),
    pytest.mark.skipif("DATABASE_URL" in os.environ, reason="serves a shop with the embedded database"),
]


@pytest.fixture(scope="module")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedShop]:
    shop = ServedShop(tmp_path_factory.mktemp("shop"))
    shop.jobs = shop.seeded(PAPERS)["ready"]  # type: ignore[attr-defined]
    yield shop
    shop.ends()


@pytest.fixture
def shop(seeded: ServedShop) -> ServedShop:
    seeded.start()
    return seeded


def logged_in(shop: ServedShop) -> Browser:
    browser = Browser(shop.port)
    browser.log_in("maja", PASSWORD)
    return browser


def all_at_once(do: Callable[[Browser, int], None], browsers: list[Browser]) -> list[threading.Thread]:
    threads = [threading.Thread(target=do, args=(one, place)) for place, one in enumerate(browsers)]
    for thread in threads:
        thread.start()
    return threads


def test_twenty_write_at_once_and_nobody_is_refused(shop: ServedShop) -> None:
    browsers = [logged_in(shop) for _ in range(WRITERS)]
    until, took, answers = time.monotonic() + ROUNDS * 0.6, [], []

    def write(browser: Browser, place: int) -> None:
        for number in range(10**6):
            if time.monotonic() > until:
                return
            began = time.monotonic()
            name = f"Writer {place} of {number}"
            status, _ = browser.post("/check-in/customer/", {"name": name, "sure": "1"})
            took.append(time.monotonic() - began)
            answers.append(status)
            time.sleep(0.2)

    before = customers(shop)
    for thread in all_at_once(write, browsers):
        thread.join()
    slow = statistics.quantiles(took, n=20)[-1]
    print(f"{len(answers)} customers by {WRITERS} at once; 19 of 20 answered within {slow:.2f} s")
    assert set(answers) == {302}
    assert customers(shop) - before == len(answers)


def customers(shop: ServedShop) -> int:
    with closing(sqlite3.connect(shop.folder / "shop.sqlite3")) as opened:
        return int(opened.execute("SELECT count(*) FROM jobs_customer").fetchone()[0])


def serving(shop: ServedShop) -> list[int]:
    assert shop.server
    children = Path(f"/proc/{shop.server.pid}/task/{shop.server.pid}/children").read_text().split()
    return [int(pid) for pid in children if b"gunicorn" in Path(f"/proc/{pid}/cmdline").read_bytes()]


def test_one_that_stands_still_holds_nobody_up_and_is_replaced(shop: ServedShop) -> None:
    browser, still = logged_in(shop), serving(shop)[0]
    os.kill(still, signal.SIGSTOP)
    slowest = 0.0
    for number in range(30):
        began = time.monotonic()
        assert browser.get("/")[0] == 200
        assert browser.post("/check-in/customer/", {"name": f"Meanwhile {number}", "sure": "1"})[0] == 302
        slowest = max(slowest, time.monotonic() - began)
    print(f"The slowest of 60 answers beside a process that stood still took {slowest:.2f} s")
    assert slowest < 20
    wait_for(lambda: still not in serving(shop) and len(serving(shop)) == 2, 180)


def test_who_asked_before_it_was_stopped_is_answered(shop: ServedShop) -> None:
    browsers, ends = [logged_in(shop) for _ in range(PAPERS)], []

    def ask(browser: Browser, place: int) -> None:
        try:
            status, page = browser.get(f"/jobs/{shop.jobs[place]}/work-order.pdf")  # type: ignore[attr-defined]
            ends.append(status == 200 and page.startswith("%PDF") and page.rstrip().endswith("%%EOF"))
        except NoAnswer:
            ends.append(False)

    threads = all_at_once(ask, browsers)
    time.sleep(0.3)
    assert shop.server
    began = time.monotonic()
    shop.server.terminate()
    for thread in threads:
        thread.join()
    shop.server.wait(60)
    print(f"{PAPERS} papers were drawn to their end; stopped after {time.monotonic() - began:.1f} s")
    assert ends == [True] * PAPERS
    assert members(shop.server.pid) == []
    shop.server = None


def test_killed_at_any_moment_a_change_of_the_tables_goes_on_from_where_it_was(tmp_path: Path) -> None:
    chance, kills = random.Random(ROUNDS), 0
    shop = ServedShop(tmp_path)
    environment = shop.environment
    shop.ends()
    command = [sys.executable, "manage.py", "migrate", "--no-input", "-v", "0"]
    for _ in range(max(ROUNDS // 5, 5)):
        migrating = subprocess.Popen(command, cwd=settings.BASE_DIR, env=environment)
        time.sleep(chance.uniform(0.5, 6))
        if migrating.poll() is not None:
            break
        migrating.kill()
        migrating.wait()
        kills += 1
        if (tmp_path / "shop.sqlite3").exists():
            with closing(sqlite3.connect(tmp_path / "shop.sqlite3")) as opened:
                assert opened.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    subprocess.run(command, cwd=settings.BASE_DIR, env=environment, check=True)
    subprocess.run([*command[:3], "--check"], cwd=settings.BASE_DIR, env=environment, check=True)
    with closing(sqlite3.connect(tmp_path / "shop.sqlite3")) as opened:
        assert opened.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        triggers = opened.execute("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'").fetchone()[0]
    print(f"Killed {kills} times while it made its tables; whole afterwards, with {triggers} triggers")
    assert kills
    assert triggers > 5
