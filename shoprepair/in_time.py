"""A request arrives in good time, or its connection ends: whoever sends a byte a second holds no thread.

A server of a shop answers a few at once. Without this as many slow senders, by ill will or from a field with
hardly any line, would keep everybody else waiting.
"""

import errno
import socket
import time
from typing import Any

from gunicorn.workers.gthread import TConn, ThreadWorker

PATIENCE_S = 10.0
"""For a head and the beginning of a body."""
GAP_S = 30.0
"""The longest that nothing at all comes, where so much came before that there is time left."""
LEAST_BYTES_A_S = 8_000
"""What comes in earns so much more time: a photo of 10 MB may take twenty minutes, a form seconds."""


class InTime:
    """A connection whose reading has to come to its end; all else is the connection's own."""

    def __init__(self, connection: socket.socket) -> None:
        self._connection = connection
        self.begin()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._connection, name)

    def begin(self) -> None:
        """A request begins: the time is its own."""
        self._began, self._came = time.monotonic(), 0

    def recv(self, size: int, *flags: int) -> bytes:
        """What came, as of a socket. Raises ConnectionResetError when the time is over."""
        own = self._connection.gettimeout()
        left = self._began + PATIENCE_S + self._came / LEAST_BYTES_A_S - time.monotonic()
        if left <= 0:
            raise _over()
        ours = min(left, GAP_S)
        if own is not None and own <= ours:
            # Whoever closes a connection waits for its last bytes for a moment of their own.
            return self._connection.recv(size, *flags)
        self._connection.settimeout(ours)
        try:
            found = self._connection.recv(size, *flags)
        except TimeoutError:
            raise _over() from None
        finally:
            self._connection.settimeout(own)
        self._came += len(found)
        return found


class InTimeWorker(ThreadWorker):  # type: ignore[misc] # gunicorn says nothing of its types
    """gunicorn's worker with threads, whose connections keep to that."""

    def handle(self, conn: TConn) -> Any:
        """Serve one request of a connection."""
        if isinstance(conn.sock, InTime):
            conn.sock.begin()
        else:
            conn.sock = InTime(conn.sock)
        return super().handle(conn)


def _over() -> ConnectionResetError:
    """As if the other side had gone: the server asks nothing more of the connection."""
    return ConnectionResetError(errno.ECONNRESET, "What was sent came too slowly.")
