"""The process that is kept warm: it has loaded the decoders, and forks a child for each picture.

It lives as long as the shop holds the other end of its socket, and has nothing of the shop's in its memory:
no key, no connection, no other picture. Each child has bounds that it cannot raise again.
"""

import contextlib
import os
import resource
import signal
import socket
import sys
from io import BytesIO

from PIL import Image, WebPImagePlugin

from shoprepair.jobs.decoding import wire
from shoprepair.jobs.decoding.bounds import Bounds, Refused, Why
from shoprepair.jobs.decoding.shrinking import FORMATS, shrunk
from shoprepair.shop.apart import READY, say_nothing

FILES = 16
# Had it not been loaded, Pillow would load all its decoders to find this one.
_WEBP = WebPImagePlugin


def serve(descriptor: int) -> None:
    """Fork a child for each socket that is handed over, until nobody holds the other end."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # The kernel takes the dead away by itself.
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    with socket.socket(fileno=descriptor) as control:
        _load()
        say_nothing()
        control.sendall(READY)
        while handed := _next(control):
            _fork(control, handed)


def _load() -> None:
    """Everything that a picture may need, so that no child loads anything; no other decoder."""
    for form in FORMATS:
        with contextlib.suppress(Refused):
            shrunk(_tiny(form), Bounds(100, 10, ((8, 80),)))


def _tiny(form: str) -> bytes:
    buffer = BytesIO()
    Image.new("RGB", (8, 8)).save(buffer, form)
    return buffer.getvalue()


def _next(control: socket.socket) -> socket.socket | None:
    said, descriptors, _, _ = socket.recv_fds(control, 1, 1)
    if not said or not descriptors:
        return None
    return socket.socket(fileno=descriptors[0])


def _fork(control: socket.socket, handed: socket.socket) -> None:
    with handed:
        if os.fork():
            return
        try:
            # The way to the shop is not the child's: it could speak for another picture.
            control.close()
            _decode(handed)
        finally:
            os._exit(0)


def _decode(handed: socket.socket) -> None:
    with handed.makefile("rb") as coming:
        content, bounds = wire.asked(lambda length: _exactly(coming.read(length), length))
    _bound(bounds)
    try:
        said = wire.answer(shrunk(content, bounds))
    except Refused as refused:
        said = wire.refusal(refused.why)
    except MemoryError:
        said = wire.refusal(Why.TOO_MUCH)
    handed.sendall(said)


def _exactly(content: bytes, length: int) -> bytes:
    if len(content) != length:
        raise EOFError
    return content


def _bound(bounds: Bounds) -> None:
    """Bounds of this process for good: it may not raise them, and has no need to write, start or open."""
    # macOS knows this bound and refuses to set it.
    if sys.platform != "darwin":
        resource.setrlimit(resource.RLIMIT_AS, (bounds.memory, bounds.memory))
    for bound, most in (
        (resource.RLIMIT_CPU, bounds.processor_s),
        (resource.RLIMIT_NOFILE, FILES),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(bound, (most, most))
