"""One moment of the shop, read for as long as it takes, while everybody goes on writing."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction


@contextmanager
def snapshot() -> Iterator[None]:
    """Read everything as it stood at one moment. Nothing is written inside, and nobody waits for it.

    SQLite: a transaction that only reads, which in WAL sees one state and takes no lock that a writer needs;
    Django's own would take that lock at once. PostgreSQL: a repeatable read. Within a transaction that is
    under way already, that one is used.
    """
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
        try:
            yield
        finally:
            with connection.cursor() as cursor:
                cursor.execute("ROLLBACK")
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            yield
