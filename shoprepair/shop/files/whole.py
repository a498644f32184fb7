"""The folder of files: what stands there under its name is whole, and is there after a power cut too."""

import os
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import IO, Any

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

PASSING = ".part"
"""Ends the name of a file while it is written. What is found so later, a killed program left."""
FILE_MODE = 0o640


class Blocks(File):  # type: ignore[type-arg]
    """Content that comes block by block and is read once."""

    def __init__(self, blocks: Iterable[bytes]) -> None:
        super().__init__(None)
        self._blocks = blocks

    def chunks(self, chunk_size: int | None = None) -> Iterator[bytes]:  # noqa: ARG002
        yield from self._blocks


class WholeFiles(FileSystemStorage):
    """A folder on this machine's disk."""

    def _save(self, name: str, content: Any) -> str:
        write_whole(Path(self.path(name)), content.chunks())
        return name


def passing(target: Path) -> Path:
    """Where a file lies until it is whole."""
    return target.with_suffix(PASSING)


def write_whole(target: Path, blocks: Iterable[bytes]) -> None:
    """Under a passing name first, down to the disk, then renamed: a file by its true name is never half.

    Raises OSError, or whatever the blocks raise; nothing is left behind then.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        with _new(passing(target)) as file:
            for block in blocks:
                file.write(block)
            file.flush()
            os.fsync(file.fileno())
        passing(target).replace(target)
        _sync(target.parent)
    except BaseException:
        for left in (passing(target), target):
            with suppress(OSError):
                left.unlink(missing_ok=True)
        raise


def _new(path: Path) -> IO[bytes]:
    return os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, FILE_MODE), "wb")


def _sync(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
