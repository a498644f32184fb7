"""The process that is kept warm: it has loaded fonts and style sheets, and makes one paper after the other.

It lives as long as the shop holds the other end of its socket, and has nothing of the shop's in its memory
but the paper that it makes: no key, no connection. What a paper may take is bounded anew for each.
"""

import contextlib
import gc
import math
import resource
import signal
import socket
import sys
import traceback
from pathlib import Path

from shoprepair.papers.printing import pages, wire
from shoprepair.papers.printing.order import Bounds, Order, Why
from shoprepair.shop.apart import READY, say_nothing

FILES = 64
_COLLECTED = (200_000, 50, 1_000)
"""One paper makes hundreds of thousands of small objects, and nearly all of them go with it."""
_LAST_PLACES = 4
_PAGE_KB = resource.getpagesize() // 1024


def serve(descriptor: int) -> None:
    """Make a paper for each order that comes, until nobody holds the other end or one breaks the bounds."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with socket.socket(fileno=descriptor) as control:
        _load()
        say_nothing()
        _bound()
        control.sendall(READY)
        with control.makefile("rb") as coming, contextlib.suppress(EOFError, OSError):
            while True:
                order, bounds = wire.asked(lambda length: _exactly(coming.read(length), length))
                _bound_one(bounds)
                said, goes_on = _made(order)
                control.sendall(said)
                if not goes_on:
                    return
                del order, said
                gc.collect()


def _load() -> None:
    """What all papers share: the fonts, and whatever is loaded by a first use."""
    pages.made(Order('<html lang="en"><title>x</title><body><p>Aa <b>Bb</b> Łğ <b>Łğ</b>', ("sheet",)))
    gc.collect()
    gc.freeze()
    gc.set_threshold(*_COLLECTED)


def _made(order: Order) -> tuple[bytes, bool]:
    """The answer, and whether this process is good for another paper."""
    try:
        return wire.answer(pages.made(order)), True
    except (MemoryError, RecursionError):
        return wire.refusal(Why.TOO_LONG), False
    except Exception as error:
        # Of its words nothing is told: they may be what somebody typed.
        places = traceback.extract_tb(error.__traceback__)[-_LAST_PLACES:]
        told = ", ".join(f"{Path(place.filename).name}:{place.lineno} {place.name}" for place in places)
        return wire.refusal(Why.BROKEN, f"{type(error).__name__} at {told}"), True


def _exactly(content: bytes, length: int) -> bytes:
    if len(content) != length:
        raise EOFError
    return content


def _bound() -> None:
    """Bounds for good: all files that it writes are written, and nobody looks into what it leaves."""
    _, most = resource.getrlimit(resource.RLIMIT_NOFILE)
    for bound, value in (
        (resource.RLIMIT_NOFILE, FILES if most == resource.RLIM_INFINITY else min(FILES, most)),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(bound, (value, value))


def _bound_one(bounds: Bounds) -> None:
    """Bounds of the next paper: what was used before does not count."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    _set(resource.RLIMIT_CPU, math.ceil(used.ru_utime + used.ru_stime) + bounds.processor_s)
    # macOS knows this bound and refuses to set it; the other one holds there too.
    if sys.platform == "linux":
        mapped, there = (int(number) for number in Path("/proc/self/statm").read_text().split()[:2])
        _set(resource.RLIMIT_AS, (mapped - there) * _PAGE_KB * 1024 + bounds.memory)


def _set(bound: int, value: int) -> None:
    resource.setrlimit(bound, (value, resource.getrlimit(bound)[1]))
