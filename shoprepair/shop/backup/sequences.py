"""The next key of each table: one that was given and whose record is gone is never given again."""

from collections.abc import Iterable
from typing import Any

from django.db import connections
from django.db.models import AutoField, Model


def last(alias: str, models: Iterable[type[Model]]) -> dict[str, int]:
    """Table to the last key that it gave; tables that number nothing are left out."""
    tables = _numbered(models)
    with connections[alias].cursor() as cursor:
        if connections[alias].vendor == "sqlite":
            cursor.execute("SELECT name, seq FROM sqlite_sequence")
            return {name: seq for name, seq in cursor.fetchall() if name in tables}
        return {table: given for table, key in tables.items() if (given := _given(cursor, table, key))}


def put(alias: str, given: dict[str, int], models: Iterable[type[Model]]) -> None:
    """Let the tables go on from these keys."""
    tables = _numbered(models)
    with connections[alias].cursor() as cursor:
        for table, key in tables.items():
            if not (value := given.get(table)):
                continue
            if connections[alias].vendor == "sqlite":
                cursor.execute("DELETE FROM sqlite_sequence WHERE name = %s", [table])
                cursor.execute("INSERT INTO sqlite_sequence (name, seq) VALUES (%s, %s)", [table, value])
            else:
                cursor.execute(
                    "SELECT setval(pg_get_serial_sequence(%s, %s), %s)", [f'"{table}"', key, value]
                )


def _numbered(models: Iterable[type[Model]]) -> dict[str, str]:
    found = [model._meta for model in models]
    return {meta.db_table: str(meta.pk.column) for meta in found if isinstance(meta.pk, AutoField)}


def _given(cursor: Any, table: str, key: str) -> int:
    cursor.execute("SELECT pg_get_serial_sequence(%s, %s)", [f'"{table}"', key])
    (name,) = cursor.fetchone()
    cursor.execute(f"SELECT last_value, is_called FROM {name}")  # noqa: S608 - the name of a sequence
    value, is_called = cursor.fetchone()
    return int(value) if is_called else 0
