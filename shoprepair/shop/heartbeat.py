"""The worker says that it lives, so that whoever asks can tell when it does not."""

import contextlib
import time
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, InterfaceError
from django.utils import timezone

from shoprepair.shop import notes

LATE_S = 300.0
"""A letter may take its mail server's whole patience, and a backup minutes; nothing takes longer unseen."""
NOTED_EVERY_S = 30.0
_NOTE = "worker"
_noted_at = 0.0


def path() -> Path:
    """The file that it touches."""
    return Path(settings.DATA_DIR) / "worker-alive"


def beat() -> None:
    """Say so. A disk or a database that is full or away is no reason to stop working."""
    global _noted_at
    with contextlib.suppress(OSError):
        path().touch(mode=0o600)
    if notes.are_read() and time.monotonic() - _noted_at > NOTED_EVERY_S:
        with contextlib.suppress(DatabaseError, InterfaceError):
            notes.write(_NOTE)
            _noted_at = time.monotonic()


def age_s() -> float | None:
    """Seconds since it last said so, here or on another machine; None where no worker ever ran."""
    ages = [age for age in (_age_here_s(), _age_noted_s()) if age is not None]
    return max(0.0, min(ages)) if ages else None


def _age_here_s() -> float | None:
    try:
        return time.time() - path().stat().st_mtime
    except OSError:
        return None


def _age_noted_s() -> float | None:
    with contextlib.suppress(DatabaseError, InterfaceError):
        if notes.are_read() and (said := notes.read(_NOTE)):
            return (timezone.now() - said.at).total_seconds()
    return None
