"""What keeps a database from taking in millions of rows quickly, set aside before and put back after.

A shop that is built for measuring can be built again, so nothing is kept safe meanwhile.
"""

from typing import Any

from django.db import connection, models

Model = type[models.Model]


def forget_safety() -> None:
    """The disk may lag behind."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            for pragma in (
                "synchronous=OFF",
                "cache_size=-1000000",
                "temp_store=FILE",
                "foreign_keys=OFF",
                "journal_mode=OFF",
            ):
                cursor.execute(f"PRAGMA {pragma}")
        else:
            cursor.execute("SET synchronous_commit = off")
            cursor.execute("SET maintenance_work_mem = '1GB'")
            cursor.execute("SET lock_timeout = 0")


def set_aside(cursor: Any, tables: list[Model]) -> list[str]:
    """Triggers, indexes and, on a server, all constraints and its log of changes; what puts them back."""
    names = [model._meta.db_table for model in tables]
    if connection.vendor == "sqlite":
        return [*_triggers_of_a_file(cursor), *_indexes_of_a_file(cursor, names)]
    names += [field.m2m_db_table() for model in tables for field in model._meta.local_many_to_many]
    for name in names:
        # What is out may get no more lines, by hand: the copies are as the product made their models.
        cursor.execute(f'ALTER TABLE "{name}" DISABLE TRIGGER USER')
    again = [*_constraints_of_a_server(cursor, names), *_indexes_of_a_server(cursor, names)]
    for name in names:
        # What is not written to the log of changes is written once instead of twice, its indexes too.
        cursor.execute(f'ALTER TABLE "{name}" SET UNLOGGED')
    return again


def take_statistics() -> None:
    """As the database does by itself in quiet hours; a server also notes which pages all may read.

    Of every table, for those that were only brought in count in the plans as well.
    """
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA analysis_limit=2000")
            cursor.execute("ANALYZE")
        else:
            cursor.execute("VACUUM ANALYZE")


def _triggers_of_a_file(cursor: Any) -> list[str]:
    cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    found = cursor.fetchall()
    for name, _ in found:
        cursor.execute(f'DROP TRIGGER "{name}"')
    return [sql for _, sql in found]


def _indexes_of_a_file(cursor: Any, names: list[str]) -> list[str]:
    cursor.execute(
        "SELECT '\"' || name || '\"', sql FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL "
        "AND sql NOT LIKE 'CREATE UNIQUE%' "
        f"AND tbl_name IN ({', '.join(['%s'] * len(names))})",
        names,
    )
    found = cursor.fetchall()
    for name, _ in found:
        cursor.execute(f"DROP INDEX {name}")
    return [sql for _, sql in found]


def _constraints_of_a_server(cursor: Any, names: list[str]) -> list[str]:
    """Keys before what refers to them.

    References are right by construction, and checking millions of them fills the memory; without them the
    server would reckon differently with how many rows a join brings.
    """
    cursor.execute(
        "SELECT conrelid::regclass::text, conname, pg_get_constraintdef(oid), contype = 'f' "
        "FROM pg_constraint WHERE contype IN ('p', 'u', 'f') AND conrelid::regclass::text = ANY(%s) "
        "ORDER BY contype = 'f' DESC, conname",
        [names],
    )
    found = cursor.fetchall()
    for table, name, _, _ in found:
        cursor.execute(f'ALTER TABLE {table} DROP CONSTRAINT "{name}"')
    return [
        f'ALTER TABLE {table} ADD CONSTRAINT "{name}" {how}{" NOT VALID" if refers else ""}'
        for table, name, how, refers in reversed(found)
    ]


def _indexes_of_a_server(cursor: Any, names: list[str]) -> list[str]:
    cursor.execute(
        "SELECT indexrelid::regclass::text, pg_get_indexdef(indexrelid) FROM pg_index "
        "WHERE indrelid::regclass::text = ANY(%s)",
        [names],
    )
    found = cursor.fetchall()
    for name, _ in found:
        cursor.execute(f"DROP INDEX {name}")
    return [how for _, how in found]
