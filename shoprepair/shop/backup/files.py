"""Files of a backup: copied with their digests, linked where the backup before has them already."""

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO

from shoprepair.shop.archive import registry
from shoprepair.shop.backup.layout import FILES, Manifest, Part
from shoprepair.shop.files import Kept, folder, lie_in_a_folder
from shoprepair.shop.files.trouble import Away, Spoiled

BLOCK = 1 << 20
FOR_THE_OWNER, FOLDER_FOR_THE_OWNER = 0o600, 0o700
PASSING = ".part"


@dataclass(frozen=True, slots=True)
class Before:
    """The backup before this one, whose files need not be copied again."""

    path: Path
    manifest: Manifest


@dataclass(slots=True)
class Taken:
    """What was taken of the shop's files."""

    parts: dict[str, Part] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)
    spoiled: list[str] = field(default_factory=list)
    copied_bytes: int = 0


def take(into: Path, named: list[str], before: Before | None) -> Taken:
    """Take all of the shop's files into a backup.

    A file that a record names never changes. One that did is broken: what the backup before has of it stays.
    """
    taken, never_change = Taken(), set(named)
    for path in dict.fromkeys([*named, *present()]):
        known = before.manifest.files.get(f"{FILES}/{path}") if before else None
        try:
            part: Part | None = _take_one(path, into, before, known, path in never_change, taken)
        except (FileNotFoundError, Away, Spoiled) as error:
            # The shop is backed up all the same; what a store did not give back is told.
            part = _from_before(path, into, before, known) if path in never_change else None
            told = taken.spoiled if isinstance(error, Spoiled) else taken.missing
            told += [path] if path in never_change else []
        if part:
            taken.parts[f"{FILES}/{path}"] = part
    return taken


def present() -> Iterator[str]:
    """The shop's files on the disk, relative to their folder, without those being written or made again.

    Of a store nothing is listed: whatever records name is asked for.
    """
    at = folder()
    for path in sorted(at.rglob("*")) if lie_in_a_folder() and at.exists() else ():
        name = path.relative_to(at)
        kept = name.parts[0] not in registry.MADE_AGAIN and path.suffix != PASSING
        if kept and path.is_file() and not path.is_symlink():
            yield name.as_posix()


def copy(source: Path, target: Path, mode: int = FOR_THE_OWNER) -> Part:
    """Copy a file, with its size and digest as they were on the way."""
    with source.open("rb") as file:
        return write(file, target, mode)


def write(file: IO[bytes], target: Path, mode: int = FOR_THE_OWNER) -> Part:
    """Write what is read into a new file, with its size and digest."""
    target.parent.mkdir(parents=True, exist_ok=True, mode=FOLDER_FOR_THE_OWNER)
    digest, size = hashlib.sha256(), 0
    with os.fdopen(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as made:
        while block := file.read(BLOCK):
            made.write(block)
            digest.update(block)
            size += len(block)
    return Part(size, digest.hexdigest())


def measure(path: Path) -> Part:
    """The size and digest of a file."""
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256")
        return Part(file.tell(), digest.hexdigest())


def sync(path: Path) -> None:
    """Have a file or a folder written down to the disk."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _take_one(
    path: str, into: Path, before: Before | None, known: Part | None, never_changes: bool, taken: Taken
) -> Part:
    source, target = folder() / path, into / FILES / path
    if before and known:
        # What lies in a store and never changes is not fetched every night.
        now = measure(source) if lie_in_a_folder() else known
        if now != known and never_changes:
            taken.spoiled.append(path)
        if (now == known or never_changes) and _link(before.path / FILES / path, target):
            return known
    with Kept(path).open() as file:
        part = write(file, target)
    taken.copied_bytes += part.bytes
    return part


def _from_before(path: str, into: Path, before: Before | None, known: Part | None) -> Part | None:
    linked = before and known and _link(before.path / FILES / path, into / FILES / path)
    return known if linked else None


def _link(source: Path, target: Path) -> bool:
    """Link a file of the backup before; copy it where the disk cannot link. Whether it is there now."""
    target.parent.mkdir(parents=True, exist_ok=True, mode=FOLDER_FOR_THE_OWNER)
    try:
        os.link(source, target)
    except FileNotFoundError:
        return False
    except OSError:
        copy(source, target)
    return True
