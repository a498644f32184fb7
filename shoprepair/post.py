"""The outbox's worker beside the server: a process of its own that lives no longer than the server does."""

import contextlib
import ctypes
import signal
import subprocess
import sys

from django.conf import settings

PATIENCE_S = 20
"""More than a mail server is given to answer, so that a letter is never cut off half told."""
_DIE_WITH_PARENT = 1
_running: subprocess.Popen[bytes] | None = None


def start() -> None:
    """Begin to send letters."""
    global _running
    worker = [sys.executable, str(settings.BASE_DIR / "manage.py"), "send_letters"]
    _running = subprocess.Popen(worker, preexec_fn=_never_alone)  # noqa: S603 - our own interpreter


def stop() -> None:
    """End it: gently, then for good. Does nothing where none was started."""
    if _running is None:
        return
    _running.terminate()
    try:
        _running.wait(PATIENCE_S)
    except subprocess.TimeoutExpired:
        _running.kill()
        _running.wait()


def _never_alone() -> None:
    """On Linux, be told to end also when the server is killed and cannot say so."""
    with contextlib.suppress(AttributeError, OSError):
        ctypes.CDLL(None).prctl(_DIE_WITH_PARENT, signal.SIGTERM)
