"""Of those who write to the embedded database without a pause, all get their turn."""

import threading
import time
from collections import Counter
from pathlib import Path

import pytest
from django.db import OperationalError, connection

from shoprepair import database_url
from shoprepair.shop.taking_turns.base import DatabaseWrapper

pytestmark = pytest.mark.skipif(connection.vendor != "sqlite", reason="a server lets each wait in a row")
WRITERS, TURNS = 8, 2


def opened(at: Path, **options: object) -> DatabaseWrapper:
    said = {**connection.settings_dict, **database_url.sqlite(at)}
    said["OPTIONS"] = said["OPTIONS"] | options
    return DatabaseWrapper(said, "beside")


def begin(writer: DatabaseWrapper) -> None:
    writer.set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)
    with writer.cursor() as cursor:
        cursor.execute("INSERT INTO told VALUES (1)")


def end(writer: DatabaseWrapper) -> None:
    writer.commit()
    writer.set_autocommit(True)


@pytest.fixture
def first(tmp_path, django_db_blocker):
    """A file of its own, of which the other tests know nothing."""
    with django_db_blocker.unblock():
        yield from _first(tmp_path)


def _first(tmp_path):
    writer = opened(tmp_path / "shop.sqlite3")
    with writer.cursor() as cursor:
        cursor.execute("CREATE TABLE told (n INTEGER)")
    yield writer
    writer.close()


def test_whoever_writes_without_a_pause_leaves_the_others_their_turn(first, tmp_path):
    """Each writes until all have; whoever has written twice as often as fair leaves nothing to the others."""
    turns: Counter[int] = Counter()

    def write(number: int) -> None:
        writer = opened(tmp_path / "shop.sqlite3")
        try:
            while min(turns[each] for each in range(WRITERS)) < TURNS:
                begin(writer)
                time.sleep(0.003)
                end(writer)
                turns[number] += 1
        finally:
            writer.close()

    threads = [threading.Thread(target=write, args=(number,)) for number in range(WRITERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert max(turns.values()) < turns.total() / 2
    with first.cursor() as cursor:
        assert cursor.execute("SELECT COUNT(*) FROM told").fetchone()[0] == turns.total()


def test_who_waits_longer_than_is_set_is_told_and_can_write_afterwards(first, tmp_path):
    other = opened(tmp_path / "shop.sqlite3", timeout=0.05)
    begin(first)
    began = time.monotonic()
    with pytest.raises(OperationalError, match="locked"):
        begin(other)
    assert time.monotonic() - began > 0.045
    end(first)
    other.set_autocommit(True)
    begin(other)
    end(other)
    with other.cursor() as cursor:
        assert cursor.execute("PRAGMA busy_timeout").fetchone()[0] == 50
    other.close()
