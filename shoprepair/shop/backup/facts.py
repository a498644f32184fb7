"""What a database says of itself: its tables and their rows, its steps, the files it names.

Asked in plain SQL, so that a database of an older version of the program answers as well.
"""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from django.apps import apps
from django.db import connections

from shoprepair.shop.archive import registry

Ask = Callable[[str], list[dict[str, Any]]]
"""Answers one statement with its rows."""
_TABLES = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'",
    "postgresql": "SELECT table_name AS name FROM information_schema.tables "
    "WHERE table_schema = current_schema() AND table_type = 'BASE TABLE'",
}


@dataclass(frozen=True, slots=True)
class Facts:
    """What is compared before and after."""

    shop: str
    migrations: list[str]
    tables: dict[str, int]
    named: list[str]
    """Files that records name, relative to the folder of files."""


def facts(ask: Ask, vendor: str) -> Facts:
    """Everything at once; the caller sees to it that it is of one moment."""
    tables = [row["name"] for row in ask(_TABLES[vendor])]
    return Facts(
        shop=next((row["name"] for row in ask("SELECT name FROM shop_shop WHERE id = 1")), ""),
        migrations=sorted(
            f"{row['app']}.{row['name']}" for row in ask("SELECT app, name FROM django_migrations")
        ),
        tables={name: ask(f'SELECT COUNT(*) AS n FROM "{name}"')[0]["n"] for name in tables},  # noqa: S608 - names of tables
        named=named(ask),
    )


def named(ask: Ask) -> list[str]:
    """The files that records name."""
    found: list[str] = []
    for label, files in registry.FILES.items():
        table = apps.get_model(label)._meta.db_table
        for row in ask(f'SELECT * FROM "{table}"'):  # noqa: S608 - the name of a table
            found += files(row)
    return found


def of_file(connection: sqlite3.Connection) -> Ask:
    """Asks an embedded database that Django knows nothing of."""

    def ask(statement: str) -> list[dict[str, Any]]:
        with closing(connection.execute(statement)) as cursor:
            names = [column[0] for column in cursor.description]
            return [dict(zip(names, row, strict=True)) for row in cursor]

    return ask


def of_shop(alias: str = "default") -> Ask:
    """Asks a database that Django has open."""

    def ask(statement: str) -> list[dict[str, Any]]:
        with connections[alias].cursor() as cursor:
            cursor.execute(statement)
            names = [column[0] for column in cursor.description]
            return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]

    return ask


def opened(path: Path, *, mode: str = "rw") -> sqlite3.Connection:
    """An embedded database that exists already, opened beside Django. Raises sqlite3.Error."""
    return sqlite3.connect(f"file:{quote(str(path))}?mode={mode}", uri=True, timeout=20, isolation_level=None)
