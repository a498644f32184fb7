"""A database server that is restarted, gives a transaction up, and is moved to or changed by halves."""

import sqlite3
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from signal import SIGINT, SIGQUIT

import psycopg
import pytest
from django.conf import settings
from django.db import connection
from django.urls import reverse

from shoprepair.database_url import FILE
from shoprepair.jobs.models import Job
from shoprepair.shop.busy import RETRY_AFTER_S
from shoprepair.shop.settings import current
from tests import postgres
from tests.counter.checking_in import somebody
from tests.soak.client import Browser, NoAnswer
from tests.soak.seed import PASSWORD
from tests.soak.served import ServedShop

WRITERS, RECORDS = 8, 50_000
needs_one = pytest.mark.skipif(not postgres.is_here(), reason=postgres.HOW_TO_INSTALL)


@pytest.fixture(scope="module")
def server() -> Iterator[postgres.Server]:
    """One that may be stopped: nobody else is on it."""
    with postgres.running() as started:
        yield started


@pytest.mark.skipif(
    connection.vendor != "postgresql", reason="the embedded database has one writer at a time"
)
@pytest.mark.django_db(transaction=True)
def test_a_check_in_that_lost_to_another_is_done_again_and_nobody_notices(counter, as_person, caplog):
    current()
    client, (customer, wing), key = as_person(counter), somebody(), "lost-once"
    with psycopg.connect(**other_line()) as other:
        # The other one has the series of numbers, and then wants what the check-in has: its key.
        other.execute("INSERT INTO shop_counter (name, value) VALUES ('job', 0)")
        answers = []
        start = {"customer": customer.pk, "inflatable": wing.pk, "key": key}

        def check_in():
            answers.append(client.post(reverse("check-in-start"), start))
            connection.close()

        tablet = threading.Thread(target=check_in)
        tablet.start()
        waits_for_another()
        with caplog.at_level("INFO", "shoprepair.shop.repeating"):
            other.execute(
                "INSERT INTO shop_submission (key, result, created_at, person_id) VALUES (%s, '', now(), %s)",
                (key, counter.pk),
            )
            other.rollback()
            tablet.join()
    assert answers[0].status_code == 302
    assert [job.number for job in Job.objects.all()] == [1]
    assert [record.message for record in caplog.records] == ["Lost to another transaction; done again."]


def other_line():
    names = {"host": "HOST", "port": "PORT", "user": "USER", "password": "PASSWORD", "dbname": "NAME"}
    return {name: connection.settings_dict[key] for name, key in names.items()}


def waits_for_another():
    asked = "SELECT count(*) FROM pg_locks WHERE NOT granted"
    until = time.monotonic() + 20
    with connection.cursor() as cursor:
        while cursor.execute(asked) and not cursor.fetchone()[0]:
            assert time.monotonic() < until
            time.sleep(0.01)


@needs_one
@pytest.mark.soak
def test_a_restart_under_load_costs_each_at_most_one_try_and_nothing_acknowledged(server, tmp_path):
    shop = ServedShop(tmp_path, server.create("restarted"))
    shop.seeded(1)
    shop.start()
    over, taken, refused, odd = threading.Event(), [], Counter(), []

    def write(browser: Browser, place: int) -> None:
        number = 0
        while not over.is_set():
            form = {"name": f"Writer {place} of {number}", "sure": "1", "key": f"w{place}-{number}"}
            try:
                status, _ = browser.post("/check-in/customer/", form)
            except NoAnswer:
                status = 0
            if status == 302:
                taken.append(form["name"])
                number += 1
            elif status == 503:
                refused[place, restarts] += 1
                over.wait(RETRY_AFTER_S)
            else:
                odd.append(status)
            over.wait(0.05)

    restarts, took = 0, []
    browsers = [Browser(shop.port) for _ in range(WRITERS)]
    for browser in browsers:
        browser.log_in("maja", PASSWORD)
    threads = [threading.Thread(target=write, args=(one, place)) for place, one in enumerate(browsers)]
    for thread in threads:
        thread.start()
    for how in (SIGINT, SIGQUIT, SIGINT):
        goes_on(taken)
        restarts, began = restarts + 1, time.monotonic()
        server.restart(how)
        took.append(time.monotonic() - began)
    goes_on(taken)
    over.set()
    for thread in threads:
        thread.join()
    with psycopg.connect(shop.database) as asked:
        kept = Counter(
            name for (name,) in asked.execute("SELECT name FROM jobs_customer WHERE name LIKE 'Writer %'")
        )
    shop.ends()
    print(
        f"{len(taken)} customers by {WRITERS} at once over {restarts} restarts of at most {max(took):.1f} s: "
        f"{sum(refused.values())} answers of 503, none lost"
    )
    assert odd == []
    assert set(taken) <= set(kept)
    assert set(kept.values()) == {1}
    assert max(refused.values(), default=0) <= 1


def goes_on(taken: list[str]) -> None:
    """All are at work again."""
    enough, until = len(taken) + 5 * WRITERS, time.monotonic() + 120
    while len(taken) < enough:
        assert time.monotonic() < until
        time.sleep(0.05)


@needs_one
@pytest.mark.soak
def test_a_move_of_many_records_that_was_killed_leaves_nothing_and_begins_anew(server, tmp_path):
    shop = ServedShop(tmp_path, database="sqlite:")
    shop.seeded(1)
    with closing(sqlite3.connect(tmp_path / FILE)) as opened, opened:
        opened.executemany(
            "INSERT INTO jobs_customer (name, phone, email, note, created_at, version) "
            "VALUES (?, '', '', '', '2026-05-04 10:00:00', 1)",
            ((f"Ilka Sandvoort {number}",) for number in range(RECORDS)),
        )
        (many,) = opened.execute("SELECT count(*) FROM jobs_customer").fetchone()
    target = server.create("moved_to")
    for line in ("cover.", "jobs.Job:", "jobs.Customer:", "sessions.Session:", ""):
        killed = move(shop, target, until=line)
        assert killed == bool(line), line
        assert in_server(target, "jobs_customer") == (0 if killed else many)
    assert in_server(target, "shop_journalentry") > 0
    shop.log.close()


def move(shop: ServedShop, target: str, until: str) -> bool:
    """Move, and be killed a moment after it has said that; whether it was."""
    command = [sys.executable, "manage.py", "move_to", target, "-v", "2"]
    moving = subprocess.Popen(
        command,
        cwd=settings.BASE_DIR,
        env=shop.environment | {"PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        text=True,
    )
    with moving:
        assert moving.stdout
        for said in moving.stdout:
            if until and said.startswith(until):
                time.sleep(0.3)
                moving.kill()
                moving.stdout.read()
                return moving.wait() != 0
    assert moving.returncode == 0
    return False


def in_server(database: str, table: str) -> int:
    with psycopg.connect(database) as asked:
        # Waits for whoever was killed: the server takes back what they began.
        asked.execute(f"LOCK TABLE {table} IN SHARE MODE")
        return int(asked.execute(f"SELECT count(*) FROM {table}").fetchone()[0])


@needs_one
@pytest.mark.soak
def test_a_change_of_the_tables_that_was_killed_goes_on_from_where_it_was(server, tmp_path):
    shop = ServedShop(tmp_path, server.create("changed"))
    command, kills = [sys.executable, "manage.py", "migrate", "--no-input", "-v", "0"], 0
    for enough in (12, 30, 48):
        migrating = subprocess.Popen(command, cwd=settings.BASE_DIR, env=shop.environment)
        while migrating.poll() is None and steps(shop.database) < enough:
            time.sleep(0.02)
        migrating.kill()
        kills += migrating.wait() != 0
    subprocess.run(command, cwd=settings.BASE_DIR, env=shop.environment, check=True)
    subprocess.run([*command[:3], "--check"], cwd=settings.BASE_DIR, env=shop.environment, check=True)
    print(
        f"Killed {kills} times while it made its tables; whole afterwards, with {steps(shop.database)} steps"
    )
    shop.ends()
    assert kills == 3


def steps(database: str) -> int:
    """How many changes of the tables are done."""
    with psycopg.connect(database, autocommit=True) as asked:
        if not asked.execute("SELECT to_regclass('django_migrations')").fetchone()[0]:
            return 0
        return int(asked.execute("SELECT count(*) FROM django_migrations").fetchone()[0])
