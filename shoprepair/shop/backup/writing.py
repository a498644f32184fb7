"""Making a backup while the shop works."""

import errno
import fcntl
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.shop.archive.snapshot import snapshot
from shoprepair.shop.backup import embedded, files, layout, moving, retention, sealing, server
from shoprepair.shop.backup.facts import Facts, facts, of_shop
from shoprepair.shop.backup.files import Before
from shoprepair.shop.backup.layout import DATABASES, KEY, MANIFEST, BackupTrouble, Manifest
from shoprepair.shop.languages import gettext_lazy

_REASONS = {
    errno.ENOSPC: gettext_lazy("the disk is full"),
    errno.EDQUOT: gettext_lazy("the disk is full"),
    errno.EROFS: gettext_lazy("the disk can only be read"),
    errno.EACCES: gettext_lazy("it may not be written to"),
    errno.EPERM: gettext_lazy("it may not be written to"),
    errno.EIO: gettext_lazy("the disk failed"),
}


@dataclass(frozen=True, slots=True)
class Made:
    """A backup that is whole on the disk."""

    path: Path
    manifest: Manifest
    copied_bytes: int
    removed: int
    """Older backups that gave way."""


def make(folder: Path, *, keep_all: bool = False, now: datetime | None = None) -> Made:
    """Back the shop up into a folder, then let those older backups go that need not stay.

    Raises BackupTrouble with a sentence; nothing of it is left then, and the older backups are untouched.
    """
    try:
        _ready(folder)
        with _alone(folder):
            _clear(folder)
            target = _free(folder, now or timezone.now())
            manifest, copied = _write(target, _before(folder))
            removed = 0 if keep_all else _thin_out(folder)
    except OSError as error:
        why = _REASONS.get(error.errno or 0, error.strerror or str(error))
        raise BackupTrouble(
            gettext("The backup could not be written to %(folder)s: %(why)s.")
            % {"folder": folder, "why": why}
        ) from error
    return Made(target, manifest, copied, removed)


def _ready(folder: Path) -> None:
    """A folder on a disk that is not connected must not come to be on the shop's own."""
    if folder == Path(settings.DATA_DIR) / "backups":
        folder.mkdir(parents=True, exist_ok=True, mode=files.FOLDER_FOR_THE_OWNER)
    elif not folder.is_dir():
        raise BackupTrouble(
            gettext("The folder %(folder)s is not there. Connect its disk, or make the folder.")
            % {"folder": folder}
        )


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """One at a time; the lock goes with whoever holds it, so one that was killed keeps nobody out."""
    with (folder / "lock").open("a") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise BackupTrouble(
                gettext("A backup is being made at this moment. Wait until it is there.")
            ) from None
        yield


def _clear(folder: Path) -> None:
    """Take away what a backup that was killed left."""
    for left in folder.glob(f"backup-*{files.PASSING}"):
        shutil.rmtree(left)


def _free(folder: Path, now: datetime) -> Path:
    while (target := folder / layout.name(now)).exists():
        now += timedelta(seconds=1)
    return target


def _before(folder: Path) -> Before | None:
    for path in layout.backups(folder):
        try:
            return Before(path, layout.read(path))
        except BackupTrouble:
            continue
    return None


def _write(target: Path, before: Before | None) -> tuple[Manifest, int]:
    passing = target.with_suffix(files.PASSING)
    try:
        passing.mkdir(mode=files.FOLDER_FOR_THE_OWNER)
        manifest, copied = _fill(passing, before)
        manifest.made_at = layout.moment(target).isoformat()
        (passing / MANIFEST).write_text(manifest.text())
        # Thousands of photos are brought down to the disk at once rather than one by one.
        os.sync()
        files.sync(passing / MANIFEST)
        files.sync(passing)
        passing.rename(target)
    except BaseException:
        shutil.rmtree(passing, ignore_errors=True)
        raise
    files.sync(target.parent)
    return manifest, copied


def _fill(at: Path, before: Before | None) -> tuple[Manifest, int]:
    """The database first: whatever photo its records name is on the disk by then."""
    form, found = _database(at)
    name = DATABASES[form]
    parts = {each: files.measure(at / each) for each in (name, sealing.SEAL)}
    key = Path(settings.DATA_DIR) / KEY
    key_inside = not os.environ.get("SECRET_KEY") and key.is_file()
    if key_inside:
        parts[KEY] = files.copy(key, at / KEY)
    taken = files.take(at, found.named, before)
    manifest = Manifest(
        made_at="",
        shop=found.shop,
        program=layout.program(),
        database=form,
        migrations=found.migrations,
        tables=found.tables,
        key=layout.fingerprint(settings.SECRET_KEY),
        key_inside=key_inside,
        files=parts | taken.parts,
        missing=taken.missing,
        spoiled=taken.spoiled,
    )
    return manifest, sum(part.bytes for part in parts.values()) + taken.copied_bytes


def _database(at: Path) -> tuple[str, Facts]:
    if connection.vendor == "postgresql" and server.has_tools():
        with snapshot():
            (row,) = of_shop()("SELECT pg_export_snapshot() AS id")
            server.dump(at / DATABASES["postgresql"], row["id"])
            sealing.write(at / sealing.SEAL, of_shop())
            return "postgresql", facts(of_shop(), "postgresql")
    target = at / DATABASES["sqlite"]
    if connection.vendor == "postgresql":
        moving.into_file(target)
    else:
        embedded.copy(Path(connection.settings_dict["NAME"]), target)
    target.chmod(files.FOR_THE_OWNER)
    found = embedded.look_over(target)
    sealing.write_of_copy(at / sealing.SEAL, target)
    return "sqlite", found


def _thin_out(folder: Path) -> int:
    """Let the backups go that need not stay, the oldest first."""
    found = {layout.moment(path): path for path in layout.backups(folder)}
    going = sorted(set(found) - retention.kept(found))
    for moment in going:
        # Without its manifest it is none: if this is cut short, nobody takes the rest for a backup.
        (found[moment] / MANIFEST).unlink()
        shutil.rmtree(found[moment])
    return len(going)
