"""The worker beside the server says that it lives, so that whoever asks can tell when it does not."""

import contextlib
import time
from pathlib import Path

from django.conf import settings

LATE_S = 300.0
"""A letter may take its mail server's whole patience, and a backup minutes; nothing takes longer unseen."""


def path() -> Path:
    """The file that it touches."""
    return Path(settings.DATA_DIR) / "worker-alive"


def beat() -> None:
    """Say so. A disk that is full or away is no reason to stop working."""
    with contextlib.suppress(OSError):
        path().touch(mode=0o600)


def age_s() -> float | None:
    """Seconds since it last said so; None where no worker ever ran beside this data folder."""
    try:
        return max(0.0, time.time() - path().stat().st_mtime)
    except OSError:
        return None
