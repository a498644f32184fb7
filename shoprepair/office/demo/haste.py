"""Five years in a minute: what costs time and serves nothing while the demo is built."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection

SELDOM = 200_000
"""Objects made between two walks of the collector."""


@contextmanager
def made() -> Iterator[None]:
    """Within one transaction that is kept or undone as a whole, as the demo's is.

    No savepoints: nothing is kept to go back to on the way. The collector seldom walks all that was loaded.
    """
    thresholds, savepoints = gc.get_threshold(), connection.features.uses_savepoints
    gc.set_threshold(SELDOM, *thresholds[1:])
    connection.features.uses_savepoints = False
    try:
        yield
    finally:
        connection.features.uses_savepoints = savepoints
        gc.set_threshold(*thresholds)
