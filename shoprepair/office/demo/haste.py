"""Five years in a minute: what costs time and serves nothing while the demo is built."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from operator import attrgetter
from typing import Any

from django.db import connection

from shoprepair.shop import walls
from shoprepair.shop.models import JournalEntry

SELDOM = 200_000
"""Objects made between two walks of the collector."""


@contextmanager
def made() -> Iterator[None]:
    """Within one transaction that is kept or undone as a whole, as the demo's is.

    No savepoints: nothing is kept to go back to on the way. The collector seldom walks all that was loaded.
    The journal is written in the order of its time at the end.
    """
    kept: list[JournalEntry] = []

    def keep(**fields: Any) -> JournalEntry:
        kept.append(JournalEntry(**fields))
        return kept[-1]

    thresholds, savepoints = gc.get_threshold(), connection.features.uses_savepoints
    gc.set_threshold(SELDOM, *thresholds[1:])
    connection.features.uses_savepoints = False
    vars(JournalEntry.objects)["create"] = keep
    try:
        yield
        _write(kept)
    finally:
        del vars(JournalEntry.objects)["create"]
        connection.features.uses_savepoints = savepoints
        gc.set_threshold(*thresholds)


def put_in_order() -> None:
    """Write the whole journal anew in the order of its time: the demo's years did not happen in a row."""
    entries = list(JournalEntry.objects.order_by("pk"))
    with walls.down():
        JournalEntry.objects.all().order_by()._raw_delete(connection.alias)
        for entry in entries:
            entry.pk = None
        _write(entries)


def _write(entries: list[JournalEntry]) -> None:
    JournalEntry.objects.bulk_create(sorted(entries, key=attrgetter("at")), batch_size=500)
