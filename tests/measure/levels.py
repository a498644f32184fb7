"""How high the indexes of a server stand, and how often they were descended.

Looking one key up reads a page of every level of its index, so a shop ten or a hundred times as large reads a
page more for each key that it looks up, whatever the program asks. That is told apart from reading more.
"""

import functools
import os
from typing import Any
from urllib.parse import urlsplit, urlunsplit

from django.db import connection

from tests import postgres


def above_the_leaves(cursor: Any, plan: str, params: Any) -> tuple[str, int]:
    """What a statement's plan says, as JSON, and how many pages it read on the way down to leaves.

    `plan` is the statement after "EXPLAIN (ANALYZE, …)". Planning looks at the ends of indexes as well, so it
    is done alone first. Within a transaction, for the server tells its counts there without delay.
    """
    before = _descents(cursor)
    cursor.execute(f"EXPLAIN {plan}", params)
    planned = _descents(cursor)
    cursor.execute(f"EXPLAIN (ANALYZE, BUFFERS, FORMAT JSON) {plan}", params)
    (told,) = cursor.fetchone()
    done = _descents(cursor)
    high = heights(connection.settings_dict["NAME"])
    pages = sum(
        (done[key] - 2 * planned.get(key, 0) + before.get(key, 0)) * high[key] for key in done if key in high
    )
    return told, pages


@functools.cache
def heights(database: str) -> dict[int, int]:
    """Levels above the leaves of each index, by its number in the server's own list of tables."""
    import psycopg

    url = urlsplit(postgres.as_admin(os.environ["DATABASE_URL"]))._replace(path=f"/{database}")
    with psycopg.connect(urlunsplit(url), autocommit=True) as admin:
        admin.execute("CREATE EXTENSION IF NOT EXISTS pageinspect")
        rows = admin.execute(
            "SELECT c.oid, (bt_metap(c.oid::regclass::text)).fastlevel FROM pg_class c "
            "JOIN pg_am a ON a.oid = c.relam AND a.amname = 'btree' "
            "WHERE c.relkind = 'i' AND c.relnamespace = 'public'::regnamespace"
        ).fetchall()
    return dict(rows)


def _descents(cursor: Any) -> dict[int, int]:
    cursor.execute(
        "SELECT i.indexrelid, pg_stat_get_xact_numscans(i.indexrelid) FROM pg_index i "
        "WHERE pg_stat_get_xact_numscans(i.indexrelid) > 0"
    )
    return dict(cursor.fetchall())
