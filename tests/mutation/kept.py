"""The database of mutated runs: made once, empty, and each forked run takes a copy.

The migrations take longer than all the tests of a module, and no change touches them. `run` names the file
by what the migrations are.
"""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import connection
from pytest_django.plugin import DjangoDbBlocker

EMPTY = "SHOPREPAIR_EMPTY_DATABASE"


@pytest.fixture(scope="session")
def django_db_setup(django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The database of the tests, empty."""
    empty, data = Path(os.environ[EMPTY]), Path(os.environ["SHOPREPAIR_DATA"])
    own = data / f"mutated-{os.getpid()}.sqlite3"
    with django_db_blocker.unblock():
        if not empty.exists():
            _make(empty)
        shutil.copyfile(empty, own)
        connection.close()
        connection.settings_dict["NAME"] = str(own)
    yield
    with django_db_blocker.unblock():
        connection.close()
    for file in data.glob(f"{own.name}*"):
        file.unlink(missing_ok=True)


def _make(empty: Path) -> None:
    """Build the tables, with all that they hold in one file."""
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    shutil.copyfile(connection.settings_dict["NAME"], empty)
