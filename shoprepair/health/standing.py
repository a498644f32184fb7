"""How the shop stands: what it needs in order to work, each with one word and its figures.

Database, tables and disk decide whether it can work at all. A late worker or an old backup does not close
a shop: no letter leaves, or too much would be lost, and somebody has to look.
"""

import functools
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from django.apps import apps
from django.conf import settings
from django.db import DatabaseError, InterfaceError, connection, transaction
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from shoprepair.shop import damaged, heartbeat
from shoprepair.shop.backup import standing as backups
from shoprepair.shop.files import lie_in_a_folder, waiting
from shoprepair.shop.models import DailyRun
from shoprepair.shop.outbox import worker as outbox
from shoprepair.shop.settings import current

FULL_BYTES = 100_000_000
"""With less left a photo or a log may take the rest at any moment."""
LOW_BYTES = 1_000_000_000
PATIENCE_MS = 2000
KEPT_S = 3.0
"""So long an answer stands, so that whoever asks without end keeps nobody from writing."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One of the things that it needs."""

    name: str
    word: str
    closes: bool
    """Whether the shop cannot work while the word is not a good one."""
    good: bool
    figures: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Standing:
    """All of them, as they were a moment ago."""

    findings: tuple[Finding, ...]

    @property
    def works(self) -> bool:
        return all(one.good for one in self.findings if one.closes)

    @property
    def word(self) -> str:
        """'ready', 'look' when somebody has to look, or 'unready'."""
        if not self.works:
            return "unready"
        return "ready" if all(one.good for one in self.findings) else "look"


_kept: tuple[float, Standing] | None = None


def standing() -> Standing:
    """How the shop stands now, or stood within the last seconds."""
    global _kept
    if _kept is None or time.monotonic() - _kept[0] > KEPT_S:
        _kept = time.monotonic(), look()
    return _kept[1]


def look() -> Standing:
    """How the shop stands now."""
    found = (database(), tables(), disk(), worker(), letters(), backup())
    return Standing(found if lie_in_a_folder() else (*found, waiting_files()))


def database() -> Finding:
    """Whether a change could be written; none is."""
    word = "ok"
    try:
        with _short_patience(), transaction.atomic():
            # On the embedded database an update begins by asking for the right to write, whatever it meets.
            DailyRun.objects.filter(pk="").update(ran_on=timezone.localdate())
    except (DatabaseError, InterfaceError) as error:
        word = _trouble(str(error))
    if damaged.why():
        word = "damaged"
    return Finding("database", word, closes=True, good=word == "ok")


def _trouble(said: str) -> str:
    known = {"locked": "busy", "readonly": "unwritable", "read-only": "unwritable", "no such table": "empty"}
    return next((word for part, word in known.items() if part in said), "away")


@contextmanager
def _short_patience() -> Iterator[None]:
    """Whoever watches does not wait as long as somebody who has typed something."""
    if connection.vendor != "sqlite":
        yield
        return
    usual_ms = int(settings.DATABASES["default"].get("OPTIONS", {}).get("timeout", 5) * 1000)
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA busy_timeout = {PATIENCE_MS}")
        try:
            yield
        finally:
            cursor.execute(f"PRAGMA busy_timeout = {usual_ms}")


def tables() -> Finding:
    """Whether the database has the tables that this version of the program wants, no fewer and no others."""
    try:
        done = frozenset(MigrationRecorder(connection).applied_migrations())
    except (DatabaseError, InterfaceError):
        return Finding("tables", "unknown", closes=True, good=False)
    ours = {config.label for config in apps.get_app_configs()}
    missing = len(_steps() - done)
    newer = sum(app in ours for app, _ in done - _steps())
    word = "migrate" if missing else "newer" if newer else "ok"
    counts: dict[str, object] = {"missing": missing, "newer": newer}
    return Finding("tables", word, closes=True, good=word == "ok", figures=counts)


@functools.cache
def _steps() -> frozenset[tuple[str, str]]:
    """The migrations that this program has."""
    return frozenset(MigrationLoader(None).disk_migrations or ())


def disk() -> Finding:
    """Whether the disk of the data folder has room."""
    try:
        free = shutil.disk_usage(settings.DATA_DIR).free
    except OSError:
        return Finding("disk", "away", closes=True, good=False)
    word = "full" if free < FULL_BYTES else "low" if free < LOW_BYTES else "ok"
    return Finding(
        "disk", word, closes=word != "low", good=word == "ok", figures={"free_mb": free // 1_000_000}
    )


def waiting_files() -> Finding:
    """Whether photos wait on this machine for their store to take them."""
    waits = len(waiting.names())
    return Finding(
        "files", "waiting" if waits else "ok", closes=False, good=not waits, figures={"waiting": waits}
    )


def worker() -> Finding:
    """Whether letters are sent and the day's duties done, beside this server."""
    age_s = heartbeat.age_s()
    word = "none" if age_s is None else "late" if age_s > heartbeat.LATE_S else "ok"
    figures: dict[str, object] = {} if age_s is None else {"age_s": round(age_s)}
    return Finding("worker", word, closes=False, good=word == "ok", figures=figures)


def letters() -> Finding:
    """Whether a customer waits for a letter that does not leave, or that came back."""
    try:
        post = outbox.standing(current())
    except (DatabaseError, InterfaceError):
        return Finding("letters", "unknown", closes=False, good=False)
    figures: dict[str, object] = {"waiting": post.waiting, "failed": post.failed, "unsure": post.unsure}
    if post.since:
        figures["since"] = post.since.isoformat()
    word = _post_word(post)
    return Finding("letters", word, closes=False, good=word in ("ok", "off"), figures=figures)


def _post_word(post: outbox.Standing) -> str:
    if post.waiting and post.obstacle:
        return "no-address" if post.server_set else "no-server"
    if post.waiting and post.asleep:
        return "held"
    if post.failed or post.unsure:
        return "back"
    return "ok" if post.server_set else "off"


def backup() -> Finding:
    """Whether a good backup is younger than a day."""
    age = backups.age()
    word = "none" if age is None else "old" if age > backups.A_DAY else "ok"
    figures: dict[str, object] = {} if age is None else {"age_h": round(age.total_seconds() / 3600, 1)}
    return Finding("backup", word, closes=False, good=word == "ok", figures=figures)
