"""Shops of three sizes, built once and kept, on the embedded database and on a server.

The first is the demo shop, every table of it; the others are it many times over (`multiplying`). They are
kept under `var/measure` by what the tables look like, so that a change of the tables builds them anew.
"""

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.db import connection

from shoprepair.jobs.models import Job
from tests import postgres
from tests.measure import kept
from tests.measure.multiplying import Plan, multiply

SIZES = (1_000, 100_000, 1_000_000)
"""Visits wanted, and customers at least."""
OPEN_TIMES = 3
"""How often the open ones are copied: a shop's history grows, its rack and its bench do not."""


def sizes() -> list[int]:
    """The sizes to measure: all, or up to what SHOPREPAIR_MEASURE says."""
    most = int(os.environ.get("SHOPREPAIR_MEASURE") or max(SIZES))
    return [size for size in SIZES if size <= most]


def shop(size: int) -> dict[str, object]:
    """What `switch` takes to be in the shop with so many visits, which is built where it is not there."""
    return {"NAME": _file(size) if connection.vendor == "sqlite" else _on_the_server(size)}


def _on_the_server(size: int) -> str:
    """On a server that goes away afterwards, so it is built anew each time."""
    name = f"shop_{size}"
    kept.move(postgres.create(os.environ["DATABASE_URL"], name))
    with opened({"NAME": name}):
        _grow(size)
    return name


def _file(size: int) -> Path:
    path = kept.folder() / f"{size}.sqlite3"
    if not path.exists():
        growing = path.with_suffix(".growing")
        growing.unlink(missing_ok=True)
        with sqlite3.connect(kept.demo() / "shop.sqlite3") as small, sqlite3.connect(growing) as copy:
            small.backup(copy)
        with opened({"NAME": growing}):
            _grow(size)
        growing.rename(path)
    return path


@contextmanager
def opened(where: dict[str, object]) -> Iterator[None]:
    """Let this process speak with another database of the same kind."""
    before = dict(connection.settings_dict)
    switch(where)
    try:
        yield
    finally:
        switch(before)


def switch(where: dict[str, object]) -> None:
    """From now on this process speaks with that one."""
    connection.close()
    connection.settings_dict.update(where)


def _grow(size: int) -> None:
    began = time.monotonic()
    everything, still_open = Job.objects.count(), Job.objects.filter(is_open=True).count()
    closed = everything - still_open
    times = OPEN_TIMES + max(0, size - everything * (1 + OPEN_TIMES)) // closed
    multiply(Plan(times, OPEN_TIMES, customers=size))
    print(f"a shop of {Job.objects.count():,} visits was built in {time.monotonic() - began:.0f} s")
