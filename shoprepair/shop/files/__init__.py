"""The shop's files, each whole or not there at all: in the folder of files, or in a store that speaks S3.

A file is named by its way below the folder of files, "photos/ab/abcd-large.jpg". Nothing else opens one:
where they lie is a setting (SHOPREPAIR_FILES) and no concern of whoever reads or writes them.

Whatever goes wrong with the disk or the store is an OSError; a file that is not there, FileNotFoundError.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from django.conf import settings
from django.core.files.storage import default_storage

from shoprepair.file_url import FOLDER
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
        if self.exists():
            raise FileExistsError(self.name)
        default_storage.save(self.name, Blocks([content] if isinstance(content, bytes) else content))

    def unlink(self) -> None:
        """Take it away, if it is there."""
        default_storage.delete(self.name)


def lie_in_a_folder() -> bool:
    """Whether they lie in a folder of this machine, and not in a store."""
    return bool(settings.STORAGES["default"] == FOLDER)


def folder() -> Path:
    """The folder of files; empty where they lie in a store."""
    return Path(settings.MEDIA_ROOT)
