"""Writing the whole shop into one archive, while it works."""

import hashlib
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from django.utils import timezone

from shoprepair.shop import settings
from shoprepair.shop.archive import registry
from shoprepair.shop.archive.layout import MANIFEST, Manifest, Part, file_name, migrations, table_name
from shoprepair.shop.archive.plain import plain
from shoprepair.shop.archive.snapshot import snapshot
from shoprepair.shop.archive.tables import Table, tables
from shoprepair.shop.files import Kept
from shoprepair.shop.files.trouble import Away, Spoiled

BLOCK = 1 << 20


@dataclass(frozen=True, slots=True)
class Made:
    """An archive that is whole on the disk."""

    path: Path
    bytes: int
    rows: int
    files: int
    missing: int


def write(target: Path) -> Made:
    """Write the archive under a passing name, down to the disk, then give it its own: it is never half there.

    Raises OSError when the disk does not take it; nothing is left behind then.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    passing = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        with _for_the_owner(passing) as file:
            manifest = _fill(file)
            file.flush()
            os.fsync(file.fileno())
        passing.replace(target)
    except BaseException:
        with suppress(OSError):
            passing.unlink(missing_ok=True)
        raise
    _sync(target.parent)
    rows = sum(part.rows for part in manifest.tables.values())
    return Made(target, target.stat().st_size, rows, len(manifest.files), manifest.missing)


def _fill(file: IO[bytes]) -> Manifest:
    paths: list[str] = []
    with ZipFile(file, "w", ZIP_DEFLATED) as archive:
        with snapshot():
            manifest = Manifest(timezone.now().isoformat(), settings.current().name, migrations())
            for table in tables():
                manifest.tables[table.label] = _write_table(archive, table, paths)
        # A photo never changes once it is on the disk, so the moment need not be held for them.
        for path in paths:
            if part := _write_file(archive, path):
                manifest.files[path] = part
            else:
                manifest.missing += 1
        archive.writestr(MANIFEST, manifest.text())
    return manifest


def _write_table(archive: ZipFile, table: Table, paths: list[str]) -> Part:
    names = [field.attname for field in table.fields]
    files = registry.FILES.get(table.label)
    with _entry(archive, table_name(table.label), ZIP_DEFLATED) as entry:
        for values in table.rows(table.fields):
            row = dict(zip(names, map(plain, values), strict=True))
            entry.add(json.dumps(row, ensure_ascii=False, separators=(",", ":")).encode() + b"\n")
            entry.rows += 1
            paths += files(row) if files else []
    return entry.part()


def _write_file(archive: ZipFile, path: str) -> Part | None:
    try:
        source = Kept(path).open()
    except (FileNotFoundError, Away, Spoiled):
        return None
    with source, _entry(archive, file_name(path), ZIP_STORED) as entry:
        while block := source.read(BLOCK):
            entry.add(block)
    return entry.part()


class _Entry:
    """What is written of one entry, counted and digested on the way."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file, self._digest, self._bytes, self.rows = file, hashlib.sha256(), 0, 0

    def add(self, block: bytes) -> None:
        self._file.write(block)
        self._digest.update(block)
        self._bytes += len(block)

    def part(self) -> Part:
        return Part(self._bytes, self._digest.hexdigest(), self.rows)


@contextmanager
def _entry(archive: ZipFile, name: str, how: int) -> Iterator[_Entry]:
    info = ZipInfo(name, timezone.now().timetuple()[:6])
    info.compress_type = how
    with archive.open(info, "w", force_zip64=True) as file:
        yield _Entry(file)


def _for_the_owner(path: Path) -> IO[bytes]:
    return os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb")


def _sync(at: Path) -> None:
    descriptor = os.open(at, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
