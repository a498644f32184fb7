"""One after the other: for what is looked at first and then written, by many at the same moment."""

import hashlib

from django.db import transaction


def take(name: str) -> None:
    """Wait until nobody else is at what has this name; it is ours until the transaction ends.

    The embedded database lets one write at a time and needs nothing more. A server carries transactions out
    side by side, where two could both find the last place free, so there they stand in a queue.
    """
    connection = transaction.get_connection()
    if not connection.in_atomic_block:
        raise RuntimeError("A turn lasts as long as a transaction, and there is none.")
    if connection.vendor != "postgresql":
        return
    number = int.from_bytes(hashlib.sha256(name.encode()).digest()[:8], signed=True)
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(%s)", [number])
