"""What every test may ask for: the people of the shop and a stranger, and logged-in clients of theirs."""

import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import hypothesis
import pytest
from django.core.management.commands import flush
from django.db import connection
from django.db.backends.sqlite3.base import DatabaseOperations
from django.test import Client
from pytest_django.plugin import DjangoDbBlocker

from shoprepair.gear import describe
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units
from tests import empty
from tests.factories import StaffFactory

# Few examples in a run of everything, and under CI the same ones each time:
# `--hypothesis-profile=default` looks farther.
hypothesis.settings.register_profile(
    "suite", max_examples=40, deadline=None, derandomize=bool(os.environ.get("CI"))
)
hypothesis.settings.load_profile("suite")


@pytest.fixture(scope="session")
def django_db_keepdb(
    django_db_keepdb: bool,
    django_db_createdb: bool,
    django_db_modify_db_settings: None,
    django_db_blocker: DjangoDbBlocker,
) -> bool:
    """Begin with a copy of the empty database: the migrations take longer than many a test file.

    `--create-db` runs them all the same.
    """
    if django_db_keepdb or django_db_createdb or connection.vendor != "sqlite":
        return django_db_keepdb
    chosen = connection.settings_dict["TEST"]
    with django_db_blocker.unblock():
        empty.put(Path(chosen["NAME"]))
    chosen["MIGRATE"] = False
    return True


@pytest.fixture
def counter(db: None) -> Staff:
    """Maja works at the counter."""
    return StaffFactory(username="maja", first_name="Maja", last_name="Orrevik", role=Staff.Role.COUNTER)


@pytest.fixture
def bench(db: None) -> Staff:
    """Tomek works at the bench."""
    return StaffFactory(username="tomek", first_name="Tomek", last_name="Brandal", role=Staff.Role.BENCH)


@pytest.fixture
def owner(db: None) -> Staff:
    """Runa owns the shop."""
    return StaffFactory(username="runa", first_name="Runa", last_name="Selvaag", role=Staff.Role.OWNER)


@pytest.fixture
def stranger() -> Client:
    """Somebody who is not logged in and works nowhere near."""
    return Client()


@pytest.fixture
def as_person() -> Callable[[Staff], Client]:
    """A client logged in as a member of staff: `as_person(owner).get("/")`."""

    def log_in(person: Staff) -> Client:
        client = Client()
        client.force_login(person)
        return client

    return log_in


@pytest.fixture
def metric() -> Units:
    return Units()


@pytest.fixture
def imperial() -> Units:
    return Units(pressure="psi", length="in", temperature="°F")


@pytest.fixture(autouse=True)
def _patterns_are_read_anew() -> Iterator[None]:
    """A test's database is rolled back and gives its keys out again, so no drawing may outlive it."""
    describe.forget()
    yield
    describe.forget()


_sql_flush = DatabaseOperations.sql_flush


def _flush_past_the_triggers(self: DatabaseOperations, *args: object, **kwargs: object) -> list[str]:
    """Tests that commit are cleaned by deleting all rows, which the journal's triggers refuse."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        triggers = cursor.fetchall()
    drop = [f'DROP TRIGGER "{name}"' for name, _ in triggers]
    return [*drop, *_sql_flush(self, *args, **kwargs), *(sql for _, sql in triggers)]


DatabaseOperations.sql_flush = _flush_past_the_triggers
# After every such test Django would write its own permissions anew, of which the shop uses none.
flush.emit_post_migrate_signal = lambda *_args, **_rest: None


_request = Client.request


def _read_with_plain_blanks(self: Client, **request: Any) -> Any:
    """A page as a test reads it: "35 mm" with the blank of the keyboard. `tests/shop/test_unbroken.py` sees
    what goes over the line."""
    answer = _request(self, **request)
    if answer.get("Content-Type", "").startswith("text/html") and not answer.has_header("Content-Encoding"):
        answer.content = _PARTED.sub(b" ", answer.content)
    return answer


_PARTED = re.compile(rb"(?<=[\d.])\xc2\xa0(?=[A-Za-z%\xc2\xe2\d])|(?<=\xc2\xa0de)\xc2\xa0")
Client.request = _read_with_plain_blanks  # type: ignore[method-assign]
