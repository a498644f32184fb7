"""Five years in a minute: what costs time and serves nothing while the demo is built."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import connection

from shoprepair.shop.models import JournalEntry

SELDOM = 200_000
"""Objects made between two walks of the collector."""


@contextmanager
def made() -> Iterator[None]:
    """Within one transaction that is kept or undone as a whole, as the demo's is.

    No savepoints: nothing is kept to go back to on the way. The collector seldom walks all that was loaded.
    The journal is written in its order at the end.
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
        JournalEntry.objects.bulk_create(kept, batch_size=500)
    finally:
        del vars(JournalEntry.objects)["create"]
        connection.features.uses_savepoints = savepoints
        gc.set_threshold(*thresholds)
