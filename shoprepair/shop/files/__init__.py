"""The shop's files, each whole or not there at all: in the folder of files, or in a store that speaks S3.

A file is named by its way below the folder of files, "photos/ab/abcd-large.jpg". Nothing else opens one:
where they lie is a setting (SHOPREPAIR_FILES) and no concern of whoever reads or writes them.

Whatever goes wrong with the disk or the store is an OSError; a file that is not there, FileNotFoundError.
"""

import shutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from django.conf import settings
from django.core.files.storage import default_storage

from shoprepair.file_url import FOLDER
from shoprepair.shop.files import waiting
from shoprepair.shop.files.trouble import Away
from shoprepair.shop.files.whole import Blocks


@dataclass(frozen=True, slots=True, order=True)
class Kept:
    """A file of the shop by its name, whether it is there or not."""

    name: str

    def exists(self) -> bool:
        return default_storage.exists(self.name)

    def open(self) -> IO[bytes]:
        """The file, to be read and closed. Raises FileNotFoundError."""
        return default_storage.open(self.name, "rb")

    def read_bytes(self) -> bytes:
        """All of it. Raises FileNotFoundError."""
        with self.open() as file:
            return file.read()

    def write(self, content: bytes | Iterable[bytes]) -> None:
        """Keep it, for good once this returns. Raises FileExistsError where there is one of that name."""
        if self._is_taken():
            raise FileExistsError(self.name)
        default_storage.save(self.name, Blocks([content] if isinstance(content, bytes) else content))

    def unlink(self) -> None:
        """Take it away, if it is there."""
        default_storage.delete(self.name)

    def _is_taken(self) -> bool:
        """Names come from chance: a store that cannot be asked just now keeps no photo from being taken."""
        try:
            return self.exists()
        except Away:
            return False


@dataclass(frozen=True, slots=True)
class Lying:
    """A file that lies among the shop's, whether a record names it or not."""

    name: str
    bytes: int
    changed_at: datetime


def lying(under: str) -> Iterator[Lying]:
    """Every file below a folder of the shop's files, half-written ones too. Raises OSError."""
    if not lie_in_a_folder():
        yield from (Lying(*one) for one in default_storage.lying(under))  # type: ignore[attr-defined]
        return
    for path in sorted((folder() / under).rglob("*")):
        if path.is_file():
            found = path.stat()
            name = path.relative_to(folder()).as_posix()
            yield Lying(name, found.st_size, datetime.fromtimestamp(found.st_mtime, UTC))


@dataclass(frozen=True, slots=True)
class Room:
    """What is free on a disk, of all it holds."""

    free: int
    total: int


def room() -> Room:
    """That of the disk which holds the photos, or on which they wait for their store."""
    at = folder() if lie_in_a_folder() else waiting.folder()
    there = next(place for place in (at, *at.parents) if place.exists())
    found = shutil.disk_usage(there)
    return Room(found.free, found.total)


def lie_in_a_folder() -> bool:
    """Whether they lie in a folder of this machine, and not in a store."""
    return bool(settings.STORAGES["default"] == FOLDER)


def folder() -> Path:
    """The folder of files; empty where they lie in a store."""
    return Path(settings.MEDIA_ROOT)
