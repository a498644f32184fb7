"""The library read once: the tests of drawings need its figures, not its rows."""

import json
from dataclasses import dataclass
from pathlib import Path

import pytest
from django.db import transaction

from shoprepair.gear import describe, library
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Pattern

NAMES = [row["name"] for row in json.loads(Path("fixtures/patterns.json").read_text())]
WINGS = [name for name in NAMES if name.endswith("wing")]
KITES = [name for name in NAMES if name.endswith("kite")]


@dataclass(frozen=True)
class Drawn:
    """A pattern of the library as drawing and mechanics see it."""

    planform: Planform
    pattern: Pattern


class Library(dict[str, Drawn]):
    """Every pattern by name, named in one word where a test prints its arguments."""

    def __repr__(self) -> str:
        return "the library"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A database is only made for tests that are marked as needing one."""
    for item in items:
        if "drawn" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.django_db)


@pytest.fixture(scope="session")
def drawn(django_db_setup: None, django_db_blocker: pytest.FixtureDef) -> Library:
    """Every pattern of the library by name; its rows are rolled back at once."""
    with django_db_blocker.unblock(), transaction.atomic():
        patterns = library.load()
        found = Library((p.name, Drawn(describe.planform(p), describe.description(p))) for p in patterns)
        transaction.set_rollback(True)
    describe.forget()
    return found


@pytest.fixture
def holm(drawn: Library) -> Planform:
    """A wing of 5 m² held by two handles, single cloth all over."""
    return drawn["Holm 5.0 wing"].planform


@pytest.fixture
def lunde(drawn: Library) -> Planform:
    """A wing of 5.4 m² held by a boom, doubled at the centre, with windows."""
    return drawn["Lunde 5.4 wing"].planform


@pytest.fixture
def skarv(drawn: Library) -> Planform:
    """A kite of 9 m² with five struts, each with a valve of its own."""
    return drawn["Skarv 9 kite"].planform


@pytest.fixture
def krykkje(drawn: Library) -> Planform:
    """A kite of 10 m² with six struts and none at the centre."""
    return drawn["Krykkje 10 kite"].planform
