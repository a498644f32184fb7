"""The database as Django opens it (ENGINE = "shoprepair.shop.taking_turns")."""

import random
import time
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import OperationalError
from django.db.backends.sqlite3 import base

SELDOM_S, OFTEN_S = 0.02, 0.002
"""Who has only come looks again after about so long; who has waited for seconds, ten times as often."""
CROWDED_S = 1.0
"""So long after somebody had to wait, nobody begins at once: who has just written would always be first."""
_waited_at = [float("-inf")]


class DatabaseWrapper(base.DatabaseWrapper):
    """SQLite, but whoever begins to write waits as fairly as all others."""

    def _start_transaction_under_autocommit(self) -> None:
        with self._without_patience() as patience_s:
            came = time.monotonic()
            if came - _waited_at[0] < CROWDED_S:
                _look_later(came)
            while True:
                try:
                    super()._start_transaction_under_autocommit()  # type: ignore[misc]
                    return
                except OperationalError as error:
                    if not _held_by_another(error) or time.monotonic() >= came + patience_s:
                        raise
                _waited_at[0] = time.monotonic()
                _look_later(came)

    @contextmanager
    def _without_patience(self) -> Iterator[float]:
        """SQLite's own way of waiting put off for this one statement; how long it would have waited."""
        self.ensure_connection()
        (usual_ms,) = self.connection.execute("PRAGMA busy_timeout").fetchone()
        self.connection.execute("PRAGMA busy_timeout = 0")
        try:
            yield usual_ms / 1000
        finally:
            self.connection.execute(f"PRAGMA busy_timeout = {usual_ms}")


def _look_later(came: float) -> None:
    """By chance a little sooner or later, so that two never look at the same moments for long."""
    waited_s = max(time.monotonic() - came, OFTEN_S)
    pause_s = min(max(SELDOM_S / (2 * waited_s), OFTEN_S), SELDOM_S)
    time.sleep(pause_s * random.uniform(0.5, 1.5))  # noqa: S311 - no secret


def _held_by_another(error: OperationalError) -> bool:
    return str(getattr(error.__cause__, "sqlite_errorname", "")).startswith("SQLITE_BUSY")
