"""The archives that the office has made: one at a time, the newest kept, in a folder of their own."""

import fcntl
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from shoprepair.shop.archive.writing import Made, write
from shoprepair.shop.lasting import Kind

_NAME = re.compile(r"shop-\d{8}-\d{6}\.zip", re.ASCII)


class Busy(ValueError):
    """An archive is being made at this moment."""

    def __init__(self) -> None:
        super().__init__("An archive is being made at this moment. Wait until it is there, then look again.")


def make() -> Made:
    """Make an archive and take the older ones away. Raises Busy, or OSError when the disk is full."""
    with _alone():
        made = write(_folder() / f"shop-{timezone.now():%Y%m%d-%H%M%S}.zip")
        for older in _folder().iterdir():
            if older != made.path and (_NAME.fullmatch(older.name) or older.suffix == ".part"):
                older.unlink(missing_ok=True)
    return made


def newest() -> Path | None:
    """The archive that was made last."""
    found = [each for each in _folder().iterdir() if _NAME.fullmatch(each.name)]
    return max(found, key=lambda each: each.name, default=None)


def made_at(archive: Path) -> datetime:
    """When an archive was made, by its name."""
    return datetime.strptime(archive.stem, "shop-%Y%m%d-%H%M%S").replace(tzinfo=UTC)


def let_go(days: int, now: datetime) -> int:
    """Take the archives away that are older than so many days; how many there were."""
    found = _older(days, now)
    for each in found:
        each.unlink(missing_ok=True)
    return len(found)


def is_busy() -> bool:
    """Whether one is being made at this moment."""
    try:
        with _alone():
            return False
    except Busy:
        return True


def _older(days: int, now: datetime) -> list[Path]:
    found = [each for each in _folder().iterdir() if _NAME.fullmatch(each.name)]
    return [each for each in found if made_at(each) < now - timedelta(days=days)]


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
    what="Archives made in the office",
    unit="days",
    fewest=1,
    most=3650,
    then="The file goes from the shop’s disk. Whoever fetched it keeps theirs.",
    one="archive",
    many="archives",
    due=lambda days, now: len(_older(days, now)),
    let_go=let_go,
)
