"""Papers that were made, kept among the shop's files so that an unchanged one is not made again.

A paper bears names, amounts and the codes of links, which lie nowhere else in the clear. So it is named and
locked by what it is made of, together with the shop's key: it is read only by a shop that would make that
very paper, and when a customer is forgotten, nobody can read what was printed for them. A kept paper that
was changed is not taken for one. It is in no backup, since it can be made again.
"""

import functools
import hashlib
import hmac
import logging
import time
from collections.abc import Iterator
from importlib.metadata import version
from typing import NamedTuple

from django.conf import settings
from django.utils import timezone
from django.utils.crypto import salted_hmac

from shoprepair.papers.printing import wire
from shoprepair.papers.printing.order import Order
from shoprepair.shop.files import Kept, Lying, lying

FOLDER = "papers"
MOST_BYTES = 200_000_000
MOST_DAYS = 30
PAUSE_S = 60
"""After the disk or the store did not answer; whoever prints in that time waits for no second try."""
_MARK = 32
_away_until = 0.0
_log = logging.getLogger(__name__)


class Seal(NamedTuple):
    """Under which name a paper is kept, and what locks it."""

    name: str
    key: bytes


def sealed(order: Order) -> Seal:
    """The seal of a paper, by all that it is made of."""
    digest = hashlib.sha256(_program())
    for piece in wire.pieces(order):
        digest.update(piece)
    name = salted_hmac("shoprepair.papers.name", digest.digest(), algorithm="sha256").hexdigest()
    key = salted_hmac("shoprepair.papers.key", digest.digest(), algorithm="sha256").digest()
    return Seal(f"{FOLDER}/{name[:2]}/{name}.paper", key)


def find(seal: Seal) -> bytes | None:
    """The paper, where it is kept and whole."""
    if _is_away():
        return None
    try:
        content = Kept(seal.name).read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        _stay_away(error)
        return None
    mark, locked = content[:_MARK], memoryview(content)[_MARK:]
    return _turned(seal, locked) if hmac.compare_digest(mark, _mark(seal, locked)) else None


def keep(seal: Seal, paper: bytes) -> None:
    """Keep a paper; where it cannot be, it is made again the next time."""
    if _is_away():
        return
    locked = _turned(seal, paper)
    try:
        Kept(seal.name).unlink()
        Kept(seal.name).write(_mark(seal, locked) + locked)
    except OSError as error:
        _stay_away(error)


def sweep() -> int:
    """Take away what is older than a month, and the oldest of what is too much; how many went."""
    gone = list(_too_much(sorted(lying(FOLDER), key=lambda each: each.changed_at, reverse=True)))
    for each in gone:
        Kept(each.name).unlink()
    return len(gone)


def _too_much(newest_first: list[Lying]) -> Iterator[Lying]:
    taken, now = 0, timezone.now()
    for each in newest_first:
        taken += each.bytes
        if taken > MOST_BYTES or (now - each.changed_at).days >= MOST_DAYS:
            yield each


def _turned(seal: Seal, content: bytes | memoryview) -> bytes:
    """Locked what was open, and open what was locked: each key serves one content only."""
    stream = hashlib.shake_256(seal.key).digest(len(content))
    turned = int.from_bytes(content, "little") ^ int.from_bytes(stream, "little")
    return turned.to_bytes(len(content), "little")


def _mark(seal: Seal, locked: bytes | memoryview) -> bytes:
    return hmac.digest(seal.key, locked, "sha256")


@functools.cache
def _program() -> bytes:
    """What else a paper hangs on: fonts, style sheets, and the programs that lay it out."""
    digest = hashlib.sha256(f"weasyprint {version('weasyprint')}, pydyf {version('pydyf')}".encode())
    base = settings.BASE_DIR
    for folder in ("static/css/papers", "static/fonts", "shoprepair/papers/printing"):
        for path in sorted(path for path in (base / folder).iterdir() if path.is_file()):
            digest.update(path.name.encode() + b"\0" + hashlib.sha256(path.read_bytes()).digest())
    return digest.digest()


def _is_away() -> bool:
    return time.monotonic() < _away_until


def _stay_away(error: OSError) -> None:
    global _away_until
    _away_until = time.monotonic() + PAUSE_S
    _log.warning("Papers are not kept for a minute: %s", error)
