"""Bringing a backup back: onto a bare machine, or in place of a shop that is then kept aside."""

import hashlib
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from django.db.migrations.loader import MigrationLoader
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.database_url import FILE
from shoprepair.shop.backup import embedded, files, held, layout
from shoprepair.shop.backup.facts import Facts
from shoprepair.shop.backup.layout import DATABASES, FILES, KEY, BackupTrouble, Manifest, Part
from shoprepair.shop.files import Kept, lie_in_a_folder
from shoprepair.shop.files.trouble import Spoiled

_LOG_ENDS = ("-wal", "-shm")


@dataclass(frozen=True, slots=True)
class Restored:
    """What came back."""

    backup: Path
    manifest: Manifest
    held: int
    """Letters that waited and now want somebody to look at them."""
    aside: Path | None
    """Where the shop that was here is kept."""
    older: bool
    """Whether its tables must be brought up to date."""


def restore(backup: Path, data: Path, *, replace: bool = False) -> Restored:
    """Bring a backup back into a folder of data, with the embedded database.

    1. Everything is copied beside, each file against its digest, the database looked over, its letters held.
    2. What was in the folder goes aside, the new takes its place, the database last.

    Raises BackupTrouble, and the folder is then as it was; killed between, there is no shop in it and the
    same command begins anew.
    """
    manifest = layout.read(backup)
    older = steps_missing(manifest)
    if manifest.database != "sqlite":
        raise BackupTrouble(
            gettext(
                "This is the backup of a PostgreSQL server. Name an empty one by DATABASE_URL and restore "
                "it there; “manage.py move_to sqlite:” brings it from there into a file."
            )
        )
    check_free(data, replace=replace)
    with staging(data) as staged:
        stage(backup, manifest, staged)
        count = held.in_file(staged / FILE, layout.moment(backup))
        aside = set_aside(data)
        put(staged, data)
    return Restored(backup, manifest, count, aside, older)


def steps_missing(manifest: Manifest) -> bool:
    """Whether the backup's tables are older than this program. Raises BackupTrouble when they are newer."""
    here = {f"{app}.{name}" for app, name in MigrationLoader(None).disk_migrations or ()}
    if newer := sorted(set(manifest.migrations) - here):
        raise BackupTrouble(
            gettext(
                "This backup was made by a newer version of the program (%(program)s): it has %(newer)s, "
                "which is not known here. Bring the program up to date first."
            )
            % {"program": manifest.program, "newer": newer[0]}
        )
    return bool(here - set(manifest.migrations))


def stage(backup: Path, manifest: Manifest, into: Path) -> None:
    """Copy everything into an empty folder, as a shop has it. Raises BackupTrouble when anything differs."""
    for path, part in manifest.files.items():
        target = into / (FILE if path == DATABASES["sqlite"] else path)
        try:
            copied = files.copy(backup / path, target, 0o640 if path.startswith(f"{FILES}/") else 0o600)
        except FileNotFoundError as error:
            raise BackupTrouble(
                gettext("%(name)s is not whole: %(path)s is missing.") % {"name": backup.name, "path": path}
            ) from error
        except OSError as error:
            raise BackupTrouble(
                gettext("%(path)s could not be copied: %(strerror)s.")
                % {"path": path, "strerror": error.strerror}
            ) from error
        if copied != part:
            raise BackupTrouble(
                gettext("%(name)s is not good: %(path)s was changed.") % {"name": backup.name, "path": path}
            )
    if manifest.database == "sqlite":
        compare(embedded.look_over(into / FILE), manifest)


def compare(found: Facts, manifest: Manifest) -> None:
    """Raise BackupTrouble where a database does not hold what the manifest says."""
    for table in sorted({*found.tables, *manifest.tables}):
        here, said = found.tables.get(table), manifest.tables.get(table)
        if here != said:
            raise BackupTrouble(
                gettext("The table %(table)s has %(here)s records; the manifest says %(said)s.")
                % {"table": table, "here": here, "said": said}
            )
    lost = {f"{FILES}/{path}" for path in found.named} - set(manifest.files)
    if lost - {f"{FILES}/{path}" for path in manifest.missing}:
        raise BackupTrouble(
            gettext("Records name %(lost)s, which is not in the backup.") % {"lost": min(lost)}
        )


def check_free(data: Path, *, replace: bool) -> None:
    """Raise BackupTrouble when there is a shop that may not give way, or one that is at work."""
    database = data / FILE
    if not database.exists():
        return
    if not replace:
        raise BackupTrouble(
            gettext(
                "There is a shop in %(data)s. With --replace it is kept aside and the backup takes its place."
            )
            % {"data": data}
        )
    if embedded.is_in_use(database):
        raise BackupTrouble(
            gettext("The shop is at work at this moment. Stop it first, so that nothing written is lost.")
        )


def mend(backup: Path, only: str = "") -> list[str]:
    """Put back those of the shop's files that are missing or not what the backup has; their names.

    `only` names one of them, or is a part of its name, as a photo's key is of its three sizes' names.
    """
    manifest, mended = layout.read(backup), []
    for path, part in manifest.files.items():
        kept = Kept(path.removeprefix(f"{FILES}/"))
        if not path.startswith(f"{FILES}/") or only not in kept.name or _is(kept, part):
            continue
        if files.measure(backup / path) != part:
            raise BackupTrouble(
                gettext("%(path)s is broken in %(name)s too. Try an older backup.")
                % {"path": path, "name": backup.name}
            )
        kept.unlink()
        kept.write((backup / path).read_bytes())
        mended.append(path)
    return mended


def _is(kept: Kept, part: Part) -> bool:
    try:
        content = kept.read_bytes()
    except (FileNotFoundError, Spoiled):
        return False
    return hashlib.sha256(content).hexdigest() == part.sha256


@contextmanager
def staging(data: Path) -> Iterator[Path]:
    """A folder on the same disk, which goes away again whatever happens."""
    data.mkdir(parents=True, exist_ok=True)
    for left in data.glob(f"restoring-*{files.PASSING}"):
        shutil.rmtree(left)
    at = data / f"restoring-{datetime.now(UTC):%Y%m%d-%H%M%S}{files.PASSING}"
    at.mkdir(mode=files.FOLDER_FOR_THE_OWNER)
    try:
        yield at
    finally:
        shutil.rmtree(at, ignore_errors=True)


def set_aside(data: Path, *, with_database: bool = True) -> Path | None:
    """Put what a backup brings, and is here already, into a folder of its own; the database first."""
    there = [FILE, *(f"{FILE}{end}" for end in _LOG_ENDS)] if with_database else []
    there += [FILES, KEY]
    found = [data / name for name in there if (data / name).exists()]
    if not found:
        return None
    aside = data / f"before-restore-{timezone.now():%Y%m%d-%H%M%S-%f}"
    aside.mkdir(mode=files.FOLDER_FOR_THE_OWNER)
    for path in found:
        path.rename(aside / path.name)
    files.sync(aside)
    return aside


def put(staged: Path, data: Path, *, with_database: bool = True) -> None:
    """Let what was brought take its place, the database last."""
    (staged / FILES).mkdir(exist_ok=True)
    if not lie_in_a_folder():
        _put_into_store(staged / FILES)
    for name in (KEY, FILES, *([FILE] if with_database else [])):
        if (staged / name).exists():
            (staged / name).rename(data / name)
    files.sync(data)


def _put_into_store(at: Path) -> None:
    """Files of a shop never change: what the store has already is what the backup has."""
    for path in sorted(at.rglob("*")):
        kept = Kept(path.relative_to(at).as_posix())
        if path.is_file() and not kept.exists():
            kept.write(path.read_bytes())
