"""The backup of one shop that has lived: made once, tried in many ways, spoiled only as a copy."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connection
from django.test import Client, override_settings

from shoprepair.shop.backup import embedded, restoring, writing
from shoprepair.shop.backup.writing import Made
from shoprepair.shop.models import Staff
from tests.shop.archive.shops import lived_in


@contextmanager
def folders(at: Path) -> Iterator[Path]:
    """The folders of a shop, all in one that goes away."""
    (at / "secret_key").write_text(settings.SECRET_KEY)
    with override_settings(DATA_DIR=at, MEDIA_ROOT=at / "files", BACKUP_DIR=at / "backups"):
        yield at


def copied(backup: Path, to: Path) -> Path:
    """A backup of one's own, to be spoiled."""
    return Path(shutil.copytree(backup, to / backup.name))


def flip_a_byte(path: Path, place: int) -> None:
    """As a disk does that grows old."""
    content = bytearray(path.read_bytes())
    content[place] ^= 0xFF
    path.write_bytes(content)


def asked(database: Path, statement: str) -> list[tuple]:
    """What an embedded database answers."""
    with closing(sqlite3.connect(database)) as connection:
        return connection.execute(statement).fetchall()


def grow_old(path: Path, hours: float) -> None:
    then = path.stat().st_mtime - hours * 3600
    os.utime(path, (then, then))


_once: list[Made] = []


@pytest.fixture(scope="session")
def made(tmp_path_factory, django_db_setup, django_db_blocker) -> Made:
    """A backup of a shop with a photo, a letter that waits, and somebody logged in."""
    if connection.vendor != "sqlite":
        pytest.skip("A server is backed up by its own tools: see test_server.")
    # Each module that imports this would else make its own.
    if not _once:
        with django_db_blocker.unblock():
            _once.append(_made(tmp_path_factory.mktemp("shop")))
    return _once[0]


def _made(at: Path) -> Made:
    with folders(at):
        embedded.copy(Path(connection.settings_dict["NAME"]), at / "empty.sqlite3")
        lived_in()
        Client().force_login(Staff.objects.get(username="runa"))
        (at / "backups").mkdir()
        backup = writing.make(at / "backups")
        call_command("flush", interactive=False, verbosity=0)
        connection.close()
        return backup


@pytest.fixture
def empty(made, tmp_path) -> Path:
    """A database that has its tables and nothing in them."""
    return Path(shutil.copy(made.path.parents[1] / "empty.sqlite3", tmp_path / "empty.sqlite3"))


@pytest.fixture
def restored(made, tmp_path) -> Iterator[Path]:
    """That shop on another machine, as it was."""
    with folders(tmp_path):
        restoring.restore(made.path, tmp_path)
        yield tmp_path


@pytest.fixture
def at_work(restored, monkeypatch) -> Path:
    """The same, and what is backed up from here on."""
    monkeypatch.setitem(connection.settings_dict, "NAME", restored / "shop.sqlite3")
    return restored
