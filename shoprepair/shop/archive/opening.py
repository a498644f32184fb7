"""Opening an archive that somebody brings: nothing in it is believed before it was looked at."""

import hashlib
import json
import shutil
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, Never
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from django.utils.translation import gettext

from shoprepair.shop.archive.layout import (
    FILES,
    FORMAT,
    KIND,
    MANIFEST,
    Manifest,
    Part,
    file_name,
    folder,
    migrations,
    table_name,
)
from shoprepair.shop.archive.tables import tables
from shoprepair.shop.files import lie_in_a_folder

BLOCK = 1 << 20
LONGEST_LINE = 16_000_000
LARGEST_MANIFEST = 100_000_000
MOST_ENTRIES = 3_000_000
DENSEST = 400
"""JSON Lines shrink to a twentieth; what shrinks further than this was made to fill the disk."""
DENSE_FROM = 10_000_000
ENCRYPTED = 0x1
_BROKEN = (BadZipFile, zlib.error, EOFError)
_SHA256 = 64


class ArchiveRefused(ValueError):
    """The archive is not brought in; the message says why, in a sentence."""


def refuse(why: str) -> Never:
    raise ArchiveRefused(gettext("%(why)s Nothing was brought in.") % {"why": why})


@contextmanager
def opened(source: Path | IO[bytes]) -> Iterator[tuple[ZipFile, Manifest]]:
    """The archive with its manifest, once its entries are exactly those named. Raises ArchiveRefused."""
    try:
        with ZipFile(source) as archive:
            entries = archive.infolist()
            _check_entries(entries)
            manifest = _manifest(archive)
            _check_names(entries, manifest)
            yield archive, manifest
    except _BROKEN as error:
        raise ArchiveRefused(
            gettext(
                "This file is no archive, or was cut off or changed on its way. Fetch it again, whole. "
                "Nothing was brought in."
            )
        ) from error


def lines(archive: ZipFile, label: str, part: Part) -> Iterator[bytes]:
    """The lines of a table, whose digest is compared once the last was read. Raises ArchiveRefused."""
    digest, count = hashlib.sha256(), 0
    with archive.open(table_name(label)) as file:
        while line := file.readline(LONGEST_LINE):
            if not line.endswith(b"\n"):
                refuse(
                    gettext("A record of %(label)s is longer than any record, or cut off.") % {"label": label}
                )
            digest.update(line)
            count += 1
            yield line
    if digest.hexdigest() != part.sha256 or count != part.rows:
        refuse(
            gettext("The table %(label)s was changed: it is not what the archive's manifest says.")
            % {"label": label}
        )


def blocks(archive: ZipFile, path: str, part: Part) -> Iterator[bytes]:
    """The blocks of a file, whose digest is compared once the last was read. Raises ArchiveRefused."""
    digest = hashlib.sha256()
    with archive.open(file_name(path)) as file:
        while block := file.read(BLOCK):
            digest.update(block)
            yield block
    if digest.hexdigest() != part.sha256:
        refuse(
            gettext("The file %(path)s was changed: it is not what the archive's manifest says.")
            % {"path": path}
        )


def _check_entries(entries: list[ZipInfo]) -> None:
    if len(entries) > MOST_ENTRIES:
        refuse(gettext("This archive has %(entries)s parts, more than any shop.") % {"entries": len(entries)})
    seen: set[str] = set()
    for entry in entries:
        if entry.header_offset < 0:
            raise BadZipFile(gettext("The beginning is missing."))
        if entry.filename in seen:
            refuse(
                gettext("Two parts of this archive have the same name, %(filename)s.")
                % {"filename": _shown(entry.filename)}
            )
        seen.add(entry.filename)
        if entry.flag_bits & ENCRYPTED:
            refuse(gettext("This archive is locked with a password. Unlock it first."))
        if entry.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
            refuse(gettext("This archive was packed in a way that this program never does."))
        if entry.file_size > DENSE_FROM and entry.file_size > DENSEST * max(entry.compress_size, 1):
            refuse(
                gettext("%(filename)s would unpack to far more than it holds; it was made to do harm.")
                % {"filename": _shown(entry.filename)}
            )


def _manifest(archive: ZipFile) -> Manifest:
    try:
        entry = archive.getinfo(MANIFEST)
    except KeyError:
        refuse(gettext("This archive has no manifest: it was not made by this program, or not to its end."))
    if entry.file_size > LARGEST_MANIFEST:
        refuse(gettext("The manifest of this archive is larger than any manifest."))
    try:
        said = json.loads(archive.read(entry))
    except (ValueError, RecursionError):
        refuse(gettext("The manifest of this archive cannot be read."))
    if not isinstance(said, dict) or said.get("kind") != KIND:
        refuse(gettext("The manifest is not that of a shop's archive."))
    _check_version(said)
    try:
        return _read(said)
    except (KeyError, TypeError, ValueError, AttributeError):
        refuse(gettext("The manifest of this archive cannot be read."))


def _check_version(said: dict[str, Any]) -> None:
    """The tables must be laid out as they are here: neither newer nor older."""
    form, steps = said.get("format"), said.get("migrations")
    if not isinstance(form, int) or not isinstance(steps, list):
        refuse(gettext("The manifest of this archive cannot be read."))
    here = set(migrations())
    theirs = {str(step) for step in steps}
    if form > FORMAT or theirs - here:
        refuse(
            gettext(
                "This archive is from a newer version of the program. Bring the program up to date first."
            )
        )
    if form < FORMAT or here - theirs:
        refuse(
            gettext(
                "This archive is from an older version of the program. Bring it into a shop of that "
                "version, bring that shop up to date, and make a new archive there."
            )
        )


def _read(said: dict[str, Any]) -> Manifest:
    return Manifest(
        made_at=str(said["made_at"]),
        shop=str(said["shop"]),
        migrations=list(said["migrations"]),
        tables={str(name): _part(part) for name, part in said["tables"].items()},
        files={str(name): _part(part) for name, part in said["files"].items()},
        missing=int(said["missing"]),
    )


def _part(said: dict[str, Any]) -> Part:
    part = Part(int(said["bytes"]), str(said["sha256"]), int(said["rows"]))
    if part.bytes < 0 or part.rows < 0 or len(part.sha256) != _SHA256:
        raise ValueError(said)
    return part


def _check_names(entries: list[ZipInfo], manifest: Manifest) -> None:
    """Every part is one that is expected, and of the size that is said; so no name leads anywhere else."""
    known = {each.label for each in tables()}
    if set(manifest.tables) != known:
        odd = sorted(set(manifest.tables) ^ known)
        refuse(
            gettext("The tables of this archive are not those of a shop: %(shown)s.")
            % {"shown": _shown(", ".join(odd))}
        )
    expected = {table_name(label): part.bytes for label, part in manifest.tables.items()}
    expected |= {file_name(path): part.bytes for path, part in manifest.files.items()}
    found = {entry.filename: entry.file_size for entry in entries if entry.filename != MANIFEST}
    if odd := sorted(set(found) - set(expected)):
        refuse(
            gettext("This archive holds something that does not belong in it: %(shown)s.")
            % {"shown": _shown(odd[0])}
        )
    if gone := sorted(set(expected) - set(found)):
        refuse(gettext("This archive is not whole: %(shown)s is missing.") % {"shown": _shown(gone[0])})
    if other := sorted(name for name, size in expected.items() if found[name] != size):
        refuse(
            gettext("%(shown)s was changed: its size is not what the archive's manifest says.")
            % {"shown": _shown(other[0])}
        )
    _check_room(sum(size for name, size in expected.items() if name.startswith(FILES)))


def _check_room(needed: int) -> None:
    if not lie_in_a_folder():
        return
    at = folder()
    while not at.exists():
        at = at.parent
    if needed > shutil.disk_usage(at).free:
        refuse(
            gettext("The photos need %(room)s MB, more than this disk has left.")
            % {"room": needed // 1_000_000}
        )


def _shown(name: str) -> str:
    return f"“{name[:80]}”" if name.isprintable() else gettext("a name that cannot be shown")
