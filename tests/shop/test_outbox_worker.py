"""The worker: one letter, one worker, one sending, whatever dies in between."""

import contextlib
import datetime
import os
import re
import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import OperationalError, connection
from django.utils import timezone

from shoprepair.shop import outbox
from shoprepair.shop.models import Letter, Staff
from shoprepair.shop.outbox import worker
from shoprepair.shop.outbox.sending import Outcome
from tests.shop.post_office import HANGS, PostOffice

State = Letter.State
Write = Callable[..., Letter]
ROOT = Path(__file__).resolve().parents[2]


def in_thread(work: Callable[[], Any]) -> threading.Thread:
    """Work in a thread that leaves no connection behind."""

    def run() -> None:
        try:
            work()
        finally:
            connection.close()

    thread = threading.Thread(target=run)
    thread.start()
    return thread


@pytest.mark.django_db(transaction=True)
def test_four_workers_send_twelve_letters_once_each(post_office: PostOffice, write: Write) -> None:
    letters = [write() for _ in range(12)]
    start = threading.Barrier(4)

    def work() -> None:
        start.wait()
        worker.send_due()

    for thread in [in_thread(work) for _ in range(4)]:
        thread.join()

    assert post_office.deliveries() == {letter.message_id: 1 for letter in letters}
    assert set(Letter.objects.values_list("state", "tries")) == {(State.SENT, 1)}


def test_a_claimed_letter_is_nobody_elses(write: Write) -> None:
    letter = write()

    assert worker.claim() == letter
    assert worker.claim() is None


def test_whoever_comes_second_to_a_letter_looks_for_the_next(write: Write) -> None:
    first, second = write(), write()
    raced = []

    def snatch(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        if sql.startswith("UPDATE") and not raced:
            raced.append(sql)
            execute("UPDATE shop_letter SET state = 'sending' WHERE id = %s", (first.pk,), False, context)
        return execute(sql, params, many, context)

    with connection.execute_wrapper(snatch):
        assert worker.claim() == second


def test_the_letter_that_is_due_longest_goes_first(write: Write) -> None:
    first, second = write(), write()
    Letter.objects.filter(pk=second.pk).update(next_try_at=first.written_at - datetime.timedelta(hours=1))

    assert [worker.claim(), worker.claim()] == [second, first]


def test_due_letters_are_found_by_the_index_made_for_them(write: Write) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("reads SQLite's plan")
    plan = worker.due().explain()

    assert "letters_by_state" in plan
    assert "TEMP B-TREE" not in plan


@pytest.mark.parametrize(("minutes", "state"), [(9, State.SENDING), (11, State.UNSURE)])
def test_a_letter_whose_worker_was_killed_becomes_unsure_after_ten_minutes(
    post_office: PostOffice, write: Write, minutes: int, state: str
) -> None:
    letter = write()
    worker.claim()
    earlier = timezone.now() - datetime.timedelta(minutes=minutes)
    Letter.objects.filter(pk=letter.pk).update(claimed_at=earlier)
    worker.send_due()
    worker.send_due()

    letter.refresh_from_db()
    assert letter.state == state
    assert post_office.connections == 0


def test_a_worker_that_comes_late_still_knows_that_it_sent(write: Write) -> None:
    write()
    claimed = worker.claim()
    Letter.objects.update(state=State.UNSURE)
    worker._mark(claimed, Outcome(State.SENT), None)

    assert Letter.objects.get().state == State.SENT


def test_a_worker_that_comes_late_changes_nothing_that_a_person_decided(write: Write, counter: Staff) -> None:
    write()
    claimed = worker.claim()
    Letter.objects.update(state=State.UNSURE)
    outbox.send_again(Letter.objects.get(), who=counter)
    worker._mark(claimed, Outcome(State.FAILED, "no such mailbox"), None)

    assert Letter.objects.get().state == State.WAITING


def test_a_worker_that_comes_late_says_nothing_about_anothers_try(write: Write, counter: Staff) -> None:
    write()
    late = worker.claim()
    Letter.objects.update(state=State.UNSURE)
    outbox.send_again(Letter.objects.get(), who=counter)
    worker.claim()
    worker._mark(late, Outcome(State.FAILED, "no such mailbox"), None)

    assert Letter.objects.get().state == State.SENDING


def test_a_letter_that_cannot_be_written_on_the_wire_fails_and_the_next_goes(
    post_office: PostOffice, write: Write
) -> None:
    broken, whole = write(), write()
    Letter.objects.filter(pk=broken.pk).update(to="nobody")
    worker.send_due()

    broken.refresh_from_db()
    whole.refresh_from_db()
    assert (broken.state, broken.last_error) == (State.FAILED, "“nobody” is not an e-mail address")
    assert whole.state == State.SENT


def test_a_shop_whose_own_address_cannot_be_written_says_so_on_the_letter(
    post_office: PostOffice, shop: Any, write: Write
) -> None:
    letter = write()
    shop.email = f"loft@{'x' * 64}.example"
    shop.save()
    worker.send_due()

    letter.refresh_from_db()
    assert letter.state == State.FAILED
    assert letter.last_error.startswith("it could not be put into an e-mail")


def test_a_fault_of_the_program_leaves_one_letter_unsure_and_sends_the_next(
    post_office: PostOffice, write: Write, monkeypatch: Any, caplog: Any
) -> None:
    first, second = write(), write()
    real = worker.build

    def faulty(letter: Letter, shop: Any) -> bytes:
        if letter == first:
            raise RuntimeError(f"cannot write to {letter.to}")
        return real(letter, shop)

    monkeypatch.setattr(worker, "build", faulty)
    worker.send_due()
    first.refresh_from_db()
    second.refresh_from_db()

    assert (first.state, first.last_error) == (State.UNSURE, "the program failed over it (RuntimeError)")
    assert second.state == State.SENT
    assert "in faulty" in caplog.text
    assert "@" not in caplog.text


def test_once_sends_what_is_due_and_ends(post_office: PostOffice, write: Write) -> None:
    letter = write()
    before = signal.getsignal(signal.SIGTERM)
    call_command("send_letters", once=True)

    assert post_office.deliveries() == {letter.message_id: 1}
    assert signal.getsignal(signal.SIGTERM) is before


def test_a_worker_that_is_told_to_stop_begins_no_other_letter(post_office: PostOffice, write: Write) -> None:
    write()
    stop = threading.Event()
    stop.set()

    assert worker.send_due(stop=stop) == 0
    worker.run(stop=stop)
    assert post_office.connections == 0


@pytest.mark.django_db(transaction=True)
def test_the_loop_sends_what_is_written_while_it_runs(post_office: PostOffice, write: Write) -> None:
    stop = threading.Event()
    loop = in_thread(lambda: worker.run(stop=stop, pause_s=0.01))
    try:
        letters = [write() for _ in range(3)]
        until(lambda: len(post_office.kept) == 3)
    finally:
        stop.set()
        loop.join()

    assert post_office.deliveries() == {letter.message_id: 1 for letter in letters}
    assert set(Letter.objects.values_list("state", flat=True)) == {State.SENT}


@pytest.mark.django_db(transaction=True)
def test_the_loop_outlives_a_database_that_is_locked(
    post_office: PostOffice, write: Write, monkeypatch: Any, caplog: Any
) -> None:
    letter, stop = write(), threading.Event()
    refusals = iter([OperationalError("database is locked")] * 2)

    def locked_at_first(execute: Any, *args: Any) -> Any:
        for refusal in refusals:
            raise refusal
        return execute(*args)

    def work() -> None:
        with connection.execute_wrapper(locked_at_first):
            worker.run(stop=stop, pause_s=0.01)

    loop = in_thread(work)
    try:
        until(lambda: bool(post_office.kept))
    finally:
        stop.set()
        loop.join()

    assert post_office.deliveries() == {letter.message_id: 1}
    assert "The database cannot be used, trying again" in caplog.text


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(("refusals", "state"), [(1, State.SENT), (4, State.SENT), (5, State.SENDING)])
def test_a_mark_waits_for_the_database_and_a_lost_one_never_sends_twice(
    post_office: PostOffice, write: Write, monkeypatch: Any, refusals: int, state: str
) -> None:
    monkeypatch.setattr(worker, "MARK_PAUSES_S", (0.0, 0.0, 0.0, 0.0))
    letter, refused = write(), []

    def locked(execute: Any, sql: str, *args: Any) -> Any:
        if "sent_at" in sql and sql.startswith("UPDATE") and len(refused) < refusals:
            refused.append(sql)
            raise OperationalError("database is locked")
        return execute(sql, *args)

    with connection.execute_wrapper(locked), contextlib.suppress(OperationalError):
        worker.send_due()
    worker.send_due()

    letter.refresh_from_db()
    assert letter.state == state
    assert post_office.deliveries() == {letter.message_id: 1}


def until(happened: Callable[[], bool]) -> None:
    """Wait for something that must happen; the wait has an end only so that a failing test has one."""
    pause = threading.Event()
    for _ in range(20_000):
        if happened():
            return
        pause.wait(0.01)
    raise AssertionError("It never happened.")


@contextlib.contextmanager
def started_worker(post_office: PostOffice, folder: Path, *options: str) -> Iterator[subprocess.Popen[str]]:
    """The worker as a process of its own, gone afterwards."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "shoprepair.settings",
        "SHOPREPAIR_DATA": str(folder),
        "SHOPREPAIR_LOG": "text",
        "EMAIL_URL": f"smtp://127.0.0.1:{post_office.port}",
    }
    command = [sys.executable, str(ROOT / "manage.py"), "send_letters", *options]
    with subprocess.Popen(command, env=environment, stderr=subprocess.PIPE, text=True, cwd=ROOT) as process:
        try:
            yield process
        finally:
            process.kill()


@pytest.fixture
def folder(write: Write, tmp_path: Path) -> Path:
    """A data folder whose database holds this test's shop and one letter."""
    if connection.vendor != "sqlite":
        pytest.skip("copies a database file")
    write()
    with contextlib.closing(sqlite3.connect(tmp_path / "shop.sqlite3")) as there:
        connection.connection.backup(there)
    return tmp_path


def states_in(folder: Path) -> list[str]:
    with contextlib.closing(sqlite3.connect(folder / "shop.sqlite3")) as database:
        return [state for (state,) in database.execute("SELECT state FROM shop_letter")]


@pytest.mark.django_db(transaction=True)
def test_a_worker_that_is_asked_to_stop_brings_its_letter_to_the_end(
    post_office: PostOffice, folder: Path
) -> None:
    with started_worker(post_office, folder) as process:
        until(lambda: bool(post_office.kept))
        process.send_signal(signal.SIGTERM)
        _, said = process.communicate()

    assert process.returncode == 0
    assert states_in(folder) == [State.SENT]
    assert re.search(r"Letter \d+ \(quote-out, job:412\): sent\n", said)
    assert "@" not in said


@pytest.mark.django_db(transaction=True)
def test_a_worker_that_is_killed_while_it_sends_leaves_a_letter_that_nobody_sends_again(
    post_office: PostOffice, folder: Path
) -> None:
    post_office.cue("taken", HANGS)
    with started_worker(post_office, folder):
        until(lambda: bool(post_office.kept))
    assert states_in(folder) == [State.SENDING]

    with started_worker(post_office, folder, "--once") as again:
        again.communicate()
    assert again.returncode == 0
    assert states_in(folder) == [State.SENDING]
    assert len(post_office.kept) == 1
