"""The outbox's worker beside the server: begun anew when it died, and living no longer than the server does.

The server starts a keeper, which starts the worker and looks after it: this file, run by itself. The keeper
needs nothing but Python, so that it is small and lives on when the worker does not.
"""

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

PATIENCE_S = 20
"""More than a mail server is given to answer, so that a letter is never cut off half told."""
PAUSES_S = (1, 5, 30, 60)
"""Before it is begun anew, the longer the oftener it died soon."""
SOON_S = 60
MANAGE = Path(__file__).resolve().parent.parent / "manage.py"
_DIE_WITH_PARENT = 1
_running: subprocess.Popen[bytes] | None = None


def start() -> None:
    """Begin to send letters."""
    global _running
    _running = _begun(str(Path(__file__).resolve()))


def stop() -> None:
    """End it: gently, then for good. Does nothing where none was started."""
    if _running is not None:
        _end(_running, PATIENCE_S + 2)


def keep() -> None:
    """Keep a worker at work until told to end; then it brings its letter to the end."""
    ended = _Ended()
    deaths = 0
    while not ended.asked:
        begun_at, worker = time.monotonic(), _begun(str(MANAGE), "send_letters")
        code = ended.or_dead(worker)
        if ended.asked:
            _end(worker, PATIENCE_S)
            return
        deaths = deaths + 1 if time.monotonic() - begun_at < SOON_S else 1
        pause_s = PAUSES_S[min(deaths, len(PAUSES_S)) - 1]
        _say(f"The worker that sends letters ended by itself ({code}) and is begun anew in {pause_s} s.")
        ended.wait(pause_s)


class _Ended:
    """Whether the keeper was told to end."""

    def __init__(self) -> None:
        self.asked = False
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, self._ask)

    def _ask(self, _number: int, _frame: object) -> None:
        self.asked = True

    def or_dead(self, worker: subprocess.Popen[bytes]) -> int | None:
        """Wait until it is, or the worker has died, whose code it then is."""
        while not self.asked and worker.poll() is None:
            time.sleep(0.5)
        return worker.poll()

    def wait(self, seconds: float) -> None:
        until = time.monotonic() + seconds
        while not self.asked and time.monotonic() < until:
            time.sleep(0.2)


def _begun(*command: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen([sys.executable, *command], preexec_fn=_never_alone)  # noqa: S603 - our own files


def _end(process: subprocess.Popen[bytes], patience_s: float) -> None:
    process.terminate()
    try:
        process.wait(patience_s)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def _never_alone() -> None:
    """On Linux, be told to end also when the one who began it is killed and cannot say so."""
    # Of the keeper alone, and a thousandth of the server's start.
    import ctypes

    with contextlib.suppress(AttributeError, OSError):
        ctypes.CDLL(None).prctl(_DIE_WITH_PARENT, signal.SIGTERM)


def _say(words: str) -> None:
    """A line beside those of the server, in the same form."""
    if (os.environ.get("SHOPREPAIR_LOG") or ("text" if sys.stderr.isatty() else "json")) == "json":
        words = json.dumps({"level": "ERROR", "logger": "shoprepair.post", "message": words})
    print(words, file=sys.stderr, flush=True)


if __name__ == "__main__":
    keep()
