"""The everyday patterns read once: most tests of the advice need their figures, not their rows."""

from dataclasses import dataclass

import pytest
from django.db import transaction

from shoprepair.gear import describe, everyday, library
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Pattern


@dataclass(frozen=True)
class Drawn:
    planform: Planform
    pattern: Pattern


class Gear(dict[str, Drawn]):
    """Everyday gear by its code, the library's by its name; named in one word where a test prints it."""

    def __repr__(self) -> str:
        return "the gear"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if {"gear", "shelf"} & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.django_db)


@pytest.fixture(scope="session")
def gear(django_db_setup: None, django_db_blocker: pytest.FixtureDef) -> Gear:
    """Every everyday pattern by its code; its rows are rolled back at once."""
    with django_db_blocker.unblock(), transaction.atomic():
        patterns = {each.code: everyday.pattern(each.code) for each in everyday.EVERYDAY}
        return _read(patterns)


@pytest.fixture(scope="session")
def shelf(django_db_setup: None, django_db_blocker: pytest.FixtureDef) -> Gear:
    """Every pattern of the library by its name, likewise."""
    with django_db_blocker.unblock(), transaction.atomic():
        return _read({pattern.name: pattern for pattern in library.load()})


def _read(patterns: dict) -> Gear:
    found = Gear((k, Drawn(describe.planform(p), describe.description(p))) for k, p in patterns.items())
    transaction.set_rollback(True)
    describe.forget()
    return found
