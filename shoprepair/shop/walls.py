"""What the database refuses, put aside for the one act that nothing else may do: a whole shop giving way."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction


@contextmanager
def down() -> Iterator[None]:
    """Within one transaction, what may else not be changed or deleted may be; afterwards all is as before.

    Nobody else ever sees the database without its refusals: they come back before the transaction ends, and
    where it fails they were never away.
    """
    with transaction.atomic():
        back = _away_sqlite() if connection.vendor == "sqlite" else _away_postgresql()
        yield
        # Keys are compared here: with a comparison still to come, PostgreSQL lets no table be altered.
        connection.check_constraints()
        _say(back)


def _away_sqlite() -> list[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND sql IS NOT NULL")
        found = cursor.fetchall()
    _say([f'DROP TRIGGER "{name}"' for name, _ in found])
    return [sql for _, sql in found]


def _away_postgresql() -> list[str]:
    # What was written in the same transaction is compared first: no table is altered while that is to come.
    connection.check_constraints()
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT DISTINCT c.relname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid "
            "JOIN pg_namespace n ON n.oid = c.relnamespace "
            "WHERE NOT t.tgisinternal AND n.nspname = current_schema()"
        )
        tables = [name for (name,) in cursor.fetchall()]
    _say([f'ALTER TABLE "{name}" DISABLE TRIGGER USER' for name in tables])
    return [f'ALTER TABLE "{name}" ENABLE TRIGGER USER' for name in tables]


def _say(statements: list[str]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
