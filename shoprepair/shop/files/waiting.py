"""Files that the store did not take: kept whole on this machine, shown from here, and brought there later."""

import fcntl
import logging
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol

from django.conf import settings
from django.core.files.storage import default_storage
from django.utils._os import safe_join

from shoprepair.shop.files.whole import PASSING, write_whole

AGAIN_S = 20.0
"""So often it is looked whether the store takes them now."""
_LOCK = "lock"

logger = logging.getLogger("shoprepair.shop.files")


class Taker(Protocol):
    """A store that files can be brought to."""

    def put(self, name: str, content: bytes) -> None:
        """Keep it under this name. Raises OSError."""


def folder() -> Path:
    """Where they wait: on this machine's own disk."""
    return Path(settings.DATA_DIR) / "files-waiting"


def place(name: str) -> Path:
    """Where a file waits, if it does; no name leads anywhere else."""
    return Path(safe_join(folder(), name))


def keep(name: str, blocks: Iterable[bytes]) -> None:
    """Let a file wait here, for good once this returns. Raises OSError."""
    write_whole(place(name), blocks)


def names() -> list[str]:
    """The files that wait on this machine, in the order in which they came."""
    at = folder()
    found = [
        path for path in at.rglob("*") if path.is_file() and path.suffix != PASSING and path.name != _LOCK
    ]
    return [
        path.relative_to(at).as_posix() for path in sorted(found, key=lambda path: path.stat().st_mtime_ns)
    ]


def bring(store: Taker) -> int:
    """Bring them to the store, the first first, until it takes no more; how many went.

    Each is there before it goes from here, so it can be seen all the time; brought twice it is the same file.
    """
    brought = 0
    with _alone() as mine:
        for name in names() if mine else ():
            try:
                store.put(name, place(name).read_bytes())
            except FileNotFoundError:
                # Taken away meanwhile, by whoever erased it.
                continue
            except OSError as error:
                logger.warning("%d files still wait here for the store: %s", len(names()), error)
                break
            place(name).unlink(missing_ok=True)
            brought += 1
    return brought


def bring_all() -> int:
    """As `bring`, to the shop's own store; nothing where its files lie in a folder."""
    put = getattr(default_storage, "put", None)
    return bring(default_storage) if put and folder().exists() else 0  # type: ignore[arg-type]


def begin() -> None:
    """Bring what waits here from now on beside everything else that this process does."""
    if hasattr(default_storage, "put"):
        threading.Thread(target=_on_and_on, name="files-waiting", daemon=True).start()


def _on_and_on() -> None:
    pause = threading.Event()
    while not pause.wait(AGAIN_S):
        try:
            bring_all()
        except Exception:
            logger.exception("What waits for the store could not be brought")


@contextmanager
def _alone() -> Iterator[bool]:
    """One process of this machine at a time; the lock goes with whoever holds it."""
    folder().mkdir(parents=True, exist_ok=True, mode=0o700)
    with (folder() / _LOCK).open("a") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            yield False
            return
        yield True
