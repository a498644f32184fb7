"""The archives that the office has made: one at a time, the newest kept, in a folder of their own.

Where the shop's files lie in a store, so do they, so that each machine that serves the shop has them.
"""

import fcntl
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import IO, Any

from django.conf import settings
from django.core.files.storage import default_storage
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.shop.archive.writing import Made, write
from shoprepair.shop.files import Kept, lie_in_a_folder, lying
from shoprepair.shop.files.trouble import Away
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.lasting import Kind

_NAME = re.compile(r"shop-\d{8}-\d{6}\.zip", re.ASCII)
_IN_STORE = "archives"
_IN_MEMORY = 8_000_000


class Busy(ValueError):
    """An archive is being made at this moment."""

    def __init__(self) -> None:
        super().__init__(
            gettext("An archive is being made at this moment. Wait until it is there, then look again.")
        )


@dataclass(frozen=True, slots=True, order=True)
class Archive:
    """One that was made, wherever it lies."""

    name: str
    size: int

    @property
    def made_at(self) -> datetime:
        """When it was made, by its name."""
        return datetime.strptime(self.name, "shop-%Y%m%d-%H%M%S.zip").replace(tzinfo=UTC)

    def open(self) -> IO[bytes]:
        """The file, to be read and closed. Raises OSError."""
        if lie_in_a_folder():
            return (_folder() / self.name).open("rb")
        fetched: Any = tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY)  # noqa: SIM115 - whoever reads closes it
        default_storage.download(f"{_IN_STORE}/{self.name}", fetched)  # type: ignore[attr-defined]
        fetched.seek(0)
        return fetched  # type: ignore[no-any-return]

    def unlink(self) -> None:
        """Take it away, if it is there."""
        if lie_in_a_folder():
            (_folder() / self.name).unlink(missing_ok=True)
        else:
            Kept(f"{_IN_STORE}/{self.name}").unlink()


def make() -> Made:
    """Make an archive and take the older ones away. Raises Busy, or OSError when the disk is full."""
    with _alone():
        made = write(_folder() / f"shop-{timezone.now():%Y%m%d-%H%M%S}.zip")
        if not lie_in_a_folder():
            try:
                default_storage.upload(f"{_IN_STORE}/{made.path.name}", made.path)  # type: ignore[attr-defined]
            finally:
                made.path.unlink()
        for left in _folder().glob("*.part"):
            left.unlink(missing_ok=True)
        for older in _found():
            if older.name != made.path.name:
                older.unlink()
    return made


def newest() -> Archive | None:
    """The archive that was made last; None too where its store does not answer."""
    try:
        return max(_found(), default=None)
    except Away:
        return None


def let_go(days: int, now: datetime) -> int:
    """Take the archives away that are older than so many days; how many there were."""
    found = _older(days, now)
    for each in found:
        each.unlink()
    return len(found)


def is_busy() -> bool:
    """Whether one is being made at this moment."""
    try:
        with _alone():
            return False
    except Busy:
        return True


def _older(days: int, now: datetime) -> list[Archive]:
    return [each for each in _found() if each.made_at < now - timedelta(days=days)]


def _found() -> list[Archive]:
    if lie_in_a_folder():
        here = [(path.name, path.stat().st_size) for path in _folder().iterdir()]
    else:
        here = [(one.name.rpartition("/")[2], one.bytes) for one in lying(_IN_STORE)]
    return [Archive(*one) for one in here if _NAME.fullmatch(one[0])]


def _folder() -> Path:
    at = Path(settings.DATA_DIR) / "archives"
    at.mkdir(parents=True, exist_ok=True, mode=0o700)
    return at


@contextmanager
def _alone() -> Iterator[None]:
    """The lock goes with whoever holds it, so one that was killed keeps nobody out."""
    with (_folder() / "lock").open("a") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise Busy from None
        yield


KIND = Kind(
    field="archive_days",
    what=gettext_lazy("Archives made in the office"),
    unit="days",
    fewest=1,
    most=3650,
    then=gettext_lazy("The file goes from the shop’s disk. Whoever fetched it keeps theirs."),
    one="archive",
    many="archives",
    due=lambda days, now: len(_older(days, now)),
    let_go=let_go,
)
