"""Decoding from the shop's side: one picture at a time, each in a process with bounds."""

import atexit
import contextlib
import logging
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from pathlib import Path

from shoprepair.jobs.decoding import wire
from shoprepair.jobs.decoding.shrinking import Bounds, Jpeg, Refused, Why, shrunk

PATIENCE_S = 30
"""From handing a picture over to its answer, however busy the machine is."""
START_S = 20
_ROOT = Path(__file__).resolve().parents[3]
_BEGIN = (
    "import sys; sys.path.insert(0, sys.argv[1]); "
    "from shoprepair.jobs.decoding import warm; warm.serve(int(sys.argv[2]))"
)
_NEEDED = ("PATH", "LD_LIBRARY_PATH", "SYSTEMROOT")
"""Of the environment; it also holds the shop's key and the passwords of its servers."""
_log = logging.getLogger(__name__)


class Unbounded(OSError):
    """No process could be started to decode in."""


class _Warm:
    """The process that is kept warm, and the socket by which sockets are handed to it."""

    def __init__(self) -> None:
        self.control, theirs = socket.socketpair()
        with theirs:
            try:
                self.process = subprocess.Popen(  # noqa: S603 - our own interpreter
                    [sys.executable, "-I", "-c", _BEGIN, str(_ROOT), str(theirs.fileno())],
                    pass_fds=[theirs.fileno()],
                    env={name: os.environ[name] for name in _NEEDED if name in os.environ},
                    stdin=subprocess.DEVNULL,
                    start_new_session=True,
                    cwd="/",
                )
            except BaseException:
                self.control.close()
                raise
        self._wait_until_ready()

    def _wait_until_ready(self) -> None:
        self.control.settimeout(START_S)
        try:
            ready = self.control.recv(1)
        except OSError:
            ready = b""
        if not ready:
            self.end()
            raise Unbounded("the process that decodes did not start")

    def decode(self, content: bytes, bounds: Bounds) -> list[Jpeg]:
        """Raises Refused; Unbounded where nothing could be handed over."""
        ours, theirs = socket.socketpair()
        with ours:
            with theirs:
                try:
                    socket.send_fds(self.control, [b"p"], [theirs.fileno()])
                except OSError as error:
                    raise Unbounded("the process that decodes is gone") from error
            return _told(ours, content, bounds)

    def end(self) -> None:
        """End it with whatever it has begun."""
        self.control.close()
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


def decode(content: bytes, bounds: Bounds) -> list[Jpeg]:
    """The picture in all its sizes. Raises Refused.

    Where no process can be started, it is decoded here, with the bounds of its header alone; the log says so.
    """
    with _lock:
        try:
            return _bounded(content, bounds)
        except Unbounded as error:
            _log.error("A photo is decoded without bounds on memory and time: %s.", error)
            return shrunk(content, bounds)


def _bounded(content: bytes, bounds: Bounds) -> list[Jpeg]:
    """A process that has gone since the last picture is started anew, once."""
    if _running is not None:
        with contextlib.suppress(Unbounded):
            return _asked(_running, content, bounds)
        end()
    return _asked(_started(), content, bounds)


def _asked(warm: _Warm, content: bytes, bounds: Bounds) -> list[Jpeg]:
    try:
        return warm.decode(content, bounds)
    except Unbounded:
        raise
    except (OSError, EOFError, wire.Garbled) as error:
        _log.warning("A photo was given up while it was decoded: %s.", type(error).__name__)
        # Of a child that died nothing is left; one that said nonsense, or nothing, goes with all around it.
        if not isinstance(error, EOFError | ConnectionError):
            end()
        raise Refused(Why.TOO_MUCH) from error


def _told(ours: socket.socket, content: bytes, bounds: Bounds) -> list[Jpeg]:
    until = time.monotonic() + PATIENCE_S

    def left() -> float:
        return max(until - time.monotonic(), 0.001)

    for piece in wire.question(content, bounds):
        ours.settimeout(left())
        ours.sendall(piece)

    def take(length: int) -> bytes:
        taken = bytearray()
        while len(taken) < length:
            ours.settimeout(left())
            if not (block := ours.recv(min(length - len(taken), 1 << 18))):
                raise EOFError
            taken += block
        return bytes(taken)

    return wire.answered(take, bounds)


def _started() -> _Warm:
    global _running
    try:
        _running = _Warm()
    except Unbounded:
        raise
    except OSError as error:
        raise Unbounded(error.strerror or "no process could be started") from error
    return _running


def end() -> None:
    """End the process that is kept warm; the next picture starts another."""
    global _running
    if _running is not None:
        _running.end()
    _running = None


def _forget() -> None:
    """A fork of the shop starts its own, and leaves this one to whoever started it."""
    global _lock, _running
    if _running is not None:
        _running.control.close()
        _running.process.returncode = 0
    _lock, _running = threading.Lock(), None


_lock = threading.Lock()
_running: _Warm | None = None
os.register_at_fork(after_in_child=_forget)
atexit.register(end)
