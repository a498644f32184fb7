"""A process of its own for work that may take nothing else down with it: begun, spoken to, ended.

It knows nothing of the shop: no key, no connection, none of its settings. It lives as long as the shop
holds the other end of its socket. Nothing here knows of Django.
"""

import contextlib
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path

START_S = 60
READY = b"r"
_ROOT = Path(__file__).resolve().parents[2]
_BEGIN = (
    "import sys; sys.path.insert(0, sys.argv[1]); from importlib import import_module; "
    "import_module(sys.argv[3]).serve(int(sys.argv[2]))"
)
_NEEDED = ("PATH", "LD_LIBRARY_PATH", "DYLD_FALLBACK_LIBRARY_PATH", "SYSTEMROOT")
"""Of the environment; it also holds the shop's key and the passwords of its servers."""


class Gone(OSError):
    """There is no process to speak to: it did not start, or is not there any more."""


class Process:
    """A process that runs `serve` of a module, and the socket by which it is spoken to."""

    def __init__(
        self, module: str, environment: Mapping[str, str] | None = None, *, writes: bool = False
    ) -> None:
        """Start it and wait until it is ready. Raises Gone.

        Of the environment it has a few names, and what is given here; one that writes has a folder for that,
        which goes with it.
        """
        self._folder = ""
        self.control, theirs = socket.socketpair()
        with theirs:
            try:
                self._folder = tempfile.mkdtemp(prefix="shoprepair-apart-") if writes else ""
                self.process = subprocess.Popen(  # noqa: S603 - our own interpreter
                    [sys.executable, "-P", "-s", "-c", _BEGIN, str(_ROOT), str(theirs.fileno()), module],
                    pass_fds=[theirs.fileno()],
                    env=self._environment(environment or {}),
                    stdin=subprocess.DEVNULL,
                    start_new_session=True,
                    cwd="/",
                )
            except BaseException as error:
                self._let_go()
                if isinstance(error, OSError):
                    raise Gone(error.strerror or "no process could be started") from error
                raise
        self._wait_until_ready()

    def _environment(self, more: Mapping[str, str]) -> dict[str, str]:
        passed = {name: os.environ[name] for name in _NEEDED if name in os.environ}
        own = {"TMPDIR": self._folder} if self._folder else {}
        return {**passed, **own, **more}

    def _wait_until_ready(self) -> None:
        self.control.settimeout(START_S)
        try:
            ready = self.control.recv(1)
        except OSError:
            ready = b""
        if not ready:
            self.end()
            raise Gone("the process did not start")

    def end(self) -> int:
        """End it with whatever it has begun; how it ended, as `subprocess` says it."""
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self._let_go()
        return self.process.wait()

    def died_of(self) -> int:
        """What a process that is no longer heard ended with; ends one that is still there."""
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.process.wait(1)
        return self.end()

    def forget(self) -> None:
        """Leave it to whoever started it: this is a fork of the shop."""
        self.control.close()
        self.process.returncode = 0

    def _let_go(self) -> None:
        self.control.close()
        if self._folder:
            shutil.rmtree(self._folder, ignore_errors=True)


class Talk:
    """What is said over a socket until a moment, however slowly it comes."""

    def __init__(self, line: socket.socket, seconds: float) -> None:
        self._line, self._until = line, time.monotonic() + seconds

    def say(self, piece: bytes) -> None:
        """Raises OSError; TimeoutError where the moment has come."""
        self._line.settimeout(self._left())
        self._line.sendall(piece)

    def take(self, length: int) -> bytes:
        """Exactly so many bytes. Raises EOFError where they end too soon, and OSError."""
        taken = bytearray()
        while len(taken) < length:
            self._line.settimeout(self._left())
            if not (block := self._line.recv(min(length - len(taken), 1 << 18))):
                raise EOFError
            taken += block
        return bytes(taken)

    def _left(self) -> float:
        return max(self._until - time.monotonic(), 0.001)


def say_nothing() -> None:
    """What libraries print about strangers' files and people's papers belongs in no log."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        os.dup2(nowhere, stream.fileno())
    os.close(nowhere)
