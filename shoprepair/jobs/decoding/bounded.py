"""Decoding from the shop's side: one picture at a time, each in a process with bounds."""

import atexit
import contextlib
import logging
import os
import socket
import threading

from shoprepair.jobs.decoding import wire
from shoprepair.jobs.decoding.bounds import Bounds, Jpeg, Refused, Why
from shoprepair.shop.apart import Gone, Process, Talk

PATIENCE_S = 30
"""From handing a picture over to its answer, however busy the machine is."""
_MODULE = "shoprepair.jobs.decoding.warm"
_log = logging.getLogger(__name__)


class Unbounded(OSError):
    """No process could be started to decode in."""


class _Warm(Process):
    """The process that is kept warm, to which sockets are handed by its own."""

    def __init__(self) -> None:
        try:
            super().__init__(_MODULE)
        except Gone as error:
            raise Unbounded(f"the process that decodes could not be started: {error}") from error

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


def decode(content: bytes, bounds: Bounds) -> list[Jpeg]:
    """The picture in all its sizes. Raises Refused.

    Where no process can be started, it is decoded here, with the bounds of its header alone; the log says so.
    """
    with _lock:
        try:
            return _bounded(content, bounds)
        except Unbounded as error:
            _log.error("A photo is decoded without bounds on memory and time: %s.", error)
            # Only then are the decoders loaded here, into a process that holds the shop.
            from shoprepair.jobs.decoding.shrinking import shrunk

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
    talk = Talk(ours, PATIENCE_S)
    for piece in wire.question(content, bounds):
        talk.say(piece)
    return wire.answered(talk.take, bounds)


def _started() -> _Warm:
    global _running
    _running = _Warm()
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
        _running.forget()
    _lock, _running = threading.Lock(), None


_lock = threading.Lock()
_running: _Warm | None = None
os.register_at_fork(after_in_child=_forget)
atexit.register(end)
