"""Writing lines of a log to whoever gathers them, without waiting for them.

A pipe or a socket that nobody reads any more is full after a few hundred lines, and whoever writes the next
one would wait for ever: the whole shop for its own log. So a line that cannot be taken at once is left out,
and the next one that can is preceded by how many were.
"""

import logging
import os
import select
import socket
import stat
from contextlib import suppress
from typing import TextIO


class WithoutWaiting(logging.StreamHandler[TextIO]):
    """Writes to the standard error, or another stream; files and terminals as ever."""

    def __init__(self, stream: TextIO | None = None) -> None:
        super().__init__(stream)
        self.lost = 0
        """Lines left out since the last one that was written."""
        self._own: dict[int, int] = {}

    def emit(self, record: logging.LogRecord) -> None:
        try:
            if self.lost:
                self._write(self.format(_about(self.lost)) + self.terminator)
                self.lost = 0
            self._write(self.format(record) + self.terminator)
        except BlockingIOError:
            self.lost += 1
        except Exception:
            self.handleError(record)

    def close(self) -> None:
        for descriptor in self._own.values():
            with suppress(OSError):
                os.close(descriptor)
        self._own.clear()
        super().close()

    def _write(self, line: str) -> None:
        descriptor = self._descriptor()
        kind = os.fstat(descriptor).st_mode if descriptor is not None else 0
        if descriptor is None or not (stat.S_ISFIFO(kind) or stat.S_ISSOCK(kind)):
            self.stream.write(line)
            self.flush()
        elif stat.S_ISSOCK(kind):
            with socket.socket(fileno=os.dup(descriptor)) as there:
                there.send(_cut(line), socket.MSG_DONTWAIT)
        else:
            os.write(self._ours(descriptor), _cut(line))

    def _descriptor(self) -> int | None:
        try:
            return self.stream.fileno()
        except (AttributeError, OSError, ValueError):
            return None

    def _ours(self, pipe: int) -> int:
        """The same pipe opened once more, since others write to theirs and want to wait.

        Where it may not be opened it is asked whether it has room. Raises BlockingIOError.
        """
        which = os.fstat(pipe).st_ino
        if which not in self._own:
            with suppress(OSError):
                self._own[which] = os.open(f"/proc/self/fd/{pipe}", os.O_WRONLY | os.O_NONBLOCK)
        if which in self._own:
            return self._own[which]
        asked = select.poll()
        asked.register(pipe, select.POLLOUT)
        if not asked.poll(0):
            raise BlockingIOError
        return pipe


def _cut(line: str) -> bytes:
    """As much as a pipe takes whole or not at all."""
    raw = line.encode(errors="backslashreplace")
    return raw if len(raw) <= select.PIPE_BUF else raw[: select.PIPE_BUF - 1] + b"\n"


def _about(lost: int) -> logging.LogRecord:
    words = "Before this line %d others were left out: nobody took them."
    return logging.LogRecord("shoprepair.shop.logs", logging.WARNING, "", 0, words, (lost,), None)
