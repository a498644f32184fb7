"""What a request costs in counts that no neighbour on the machine can change."""

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from django.db import connection, transaction

from tests.measure import levels

STEP = 100
"""So many instructions of the embedded database are counted as one tick."""


@dataclass
class Cost:
    """What the statements of one request took."""

    statements: list[tuple[str, Any]] = field(default_factory=list)
    work: int = 0
    """SQLite: instructions of its machine. PostgreSQL: pages looked at."""
    above: int = 0
    """PostgreSQL: how many of those pages were on the way down to the leaves of indexes."""

    @property
    def writes(self) -> int:
        """How many of the statements were no question."""
        return sum(not _reads(sql) for sql, _ in self.statements)


@contextmanager
def counted() -> Iterator[Cost]:
    """Count what is asked of the database meanwhile."""
    cost = Cost()

    def note(execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any) -> Any:
        cost.statements.append((sql, params))
        return execute(sql, params, many, context)

    connection.ensure_connection()
    with connection.execute_wrapper(note):
        if connection.vendor == "sqlite":
            with _ticks(cost):
                yield cost
        else:
            yield cost
    if connection.vendor == "postgresql":
        for sql, params in cost.statements:
            if _reads(sql):
                pages, above = _pages(sql, params)
                cost.work, cost.above = cost.work + pages, cost.above + above


@contextmanager
def _ticks(cost: Cost) -> Iterator[None]:
    def tick() -> int:
        cost.work += STEP
        return 0

    connection.connection.set_progress_handler(tick, STEP)
    try:
        yield
    finally:
        connection.connection.set_progress_handler(None, STEP)


def _reads(sql: str) -> bool:
    return sql.lstrip("( ").upper().startswith(("SELECT", "WITH"))


def _pages(sql: str, params: Any) -> tuple[int, int]:
    with transaction.atomic(), connection.cursor() as cursor:
        told, above = levels.above_the_leaves(cursor, sql, params)
    plan = (json.loads(told) if isinstance(told, str) else told)[0]["Plan"]
    return int(plan["Shared Hit Blocks"] + plan["Shared Read Blocks"]), above
