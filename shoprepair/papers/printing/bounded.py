"""Making papers from the shop's side: each in a process with bounds, which is kept for the next."""

import atexit
import logging
import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from shoprepair.papers.printing import wire
from shoprepair.papers.printing.order import Bounds, Order, Unmade, Why
from shoprepair.shop.apart import Gone, Process, Talk

MOST = 2
"""Papers made at once by one process of the server."""
PATIENCE_S = 60
"""From handing an order over to its paper, however busy the machine is."""
MOST_MARKUP = 4_000_000
"""Letters; a work order with forty damages has a tenth of that."""
PAPERS_EACH = 500
"""So many a process makes before another takes its place, since libraries never give everything back."""
_MODULE = "shoprepair.papers.printing.warm"
_PASSED = ("HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "FONTCONFIG_FILE", "FONTCONFIG_PATH")
"""What the machine's fonts are found by."""
_SAME = {"LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "0", "SOURCE_DATE_EPOCH": "0"}
"""The same paper is the same bytes whenever and wherever it is made."""
_log = logging.getLogger(__name__)


class _Died(Exception):
    """The process died over a paper, of this."""

    def __init__(self, of: int) -> None:
        super().__init__(of)
        self.of = of


class _Warm(Process):
    """A process that is kept warm."""

    def __init__(self) -> None:
        passed = {name: os.environ[name] for name in _PASSED if name in os.environ}
        super().__init__(_MODULE, {**passed, **_SAME}, writes=True)
        self.left = PAPERS_EACH

    def make(self, order: Order, bounds: Bounds) -> bytes:
        """Raises Unmade, _Died."""
        talk = Talk(self.control, PATIENCE_S)
        self.left -= 1
        try:
            for piece in wire.question(order, bounds):
                talk.say(piece)
            return wire.answered(talk.take)
        except Unmade:
            raise
        except (TimeoutError, wire.Garbled) as error:
            self.end()
            raise Unmade(Why.TOO_LONG, type(error).__name__) from error
        except (EOFError, OSError) as error:
            raise _Died(self.died_of()) from error


def make(order: Order, bounds: Bounds | None = None) -> bytes:
    """The paper as PDF. Raises Unmade.

    A process that is not there any more is no fault of the paper: another tries it once more.
    """
    bounds = bounds or Bounds()
    if len(order.markup) > MOST_MARKUP:
        raise _told(Unmade(Why.TOO_LONG, "the markup alone"))
    try:
        with _a_turn():
            try:
                return _made(order, bounds, new=False)
            except _Died as first:
                if first.of == -signal.SIGXCPU:
                    raise Unmade(Why.TOO_LONG, "processor time") from first
                return _made(order, bounds, new=True)
    except Unmade as unmade:
        raise _told(unmade) from unmade.__cause__
    except Gone as error:
        raise _told(Unmade(Why.NOT_NOW, str(error))) from error
    except _Died as twice:
        # Whoever is killed from outside is killed by this; a library without memory ends itself.
        why = Why.NOT_NOW if twice.of == -signal.SIGKILL else Why.TOO_LONG
        raise _told(Unmade(why, f"died twice, of {-twice.of}")) from twice


def end() -> None:
    """End the processes that wait for a paper; the next paper starts another."""
    with _pool.lock:
        idle, _pool.idle = _pool.idle, []
    for warm in idle:
        _ended(warm)


class _Pool:
    """Processes that wait for a paper, all there are, and who may use one."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.turns = threading.BoundedSemaphore(MOST)
        self.idle: list[_Warm] = []
        self.every: set[_Warm] = set()


@contextmanager
def _a_turn() -> Iterator[None]:
    pool = _pool
    if not pool.turns.acquire(timeout=PATIENCE_S):
        raise Unmade(Why.NOT_NOW, "too many papers at once")
    try:
        yield
    finally:
        pool.turns.release()


def _made(order: Order, bounds: Bounds, *, new: bool) -> bytes:
    warm = None if new else _waiting()
    if warm is None:
        warm = _Warm()
        _pool.every.add(warm)
    good = False
    try:
        made = warm.make(order, bounds)
        good = True
    except Unmade as unmade:
        good = unmade.why == Why.BROKEN
        raise
    finally:
        if good and warm.left:
            with _pool.lock:
                _pool.idle.append(warm)
        else:
            _ended(warm)
    return made


def _waiting() -> _Warm | None:
    with _pool.lock:
        return _pool.idle.pop() if _pool.idle else None


def _ended(warm: _Warm) -> None:
    warm.end()
    _pool.every.discard(warm)


def _told(unmade: Unmade) -> Unmade:
    level = logging.ERROR if unmade.why == Why.BROKEN else logging.WARNING
    _log.log(level, "A paper was not made (%s): %s.", unmade.why.name, unmade.told)
    return unmade


def _forget() -> None:
    """A fork of the shop starts its own, and leaves these to whoever started them."""
    global _pool
    for warm in _pool.every:
        warm.forget()
    _pool = _Pool()


_pool = _Pool()
os.register_at_fork(after_in_child=_forget)
atexit.register(end)
