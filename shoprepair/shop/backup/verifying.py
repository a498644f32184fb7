"""Reading a backup again, all of it, before it is needed."""

import tempfile
from pathlib import Path

from django.utils.translation import gettext

from shoprepair.shop.backup import embedded, files, layout, restoring, server
from shoprepair.shop.backup.layout import DATABASES, MANIFEST, BackupTrouble, Manifest


def verify(backup: Path, *, deep: bool = False) -> Manifest:
    """Compare every file with its digest and look the database over; `deep`: restore it somewhere as well.

    Raises BackupTrouble with everything that is wrong.
    """
    manifest = layout.read(backup)
    if wrong := [*_wrong_files(backup, manifest), *_strangers(backup, manifest)]:
        some = ", ".join(wrong[:5])
        if len(wrong) > 5:
            some = gettext("%(some)s and %(more)s more") % {"some": some, "more": len(wrong) - 5}
        raise BackupTrouble(gettext("%(name)s is not good: %(some)s.") % {"name": backup.name, "some": some})
    with tempfile.TemporaryDirectory(prefix="shop-verified-") as folder:
        if deep:
            restoring.stage(backup, manifest, Path(folder))
        _look_over(backup, manifest, Path(folder))
    return manifest


def _look_over(backup: Path, manifest: Manifest, folder: Path) -> None:
    database = DATABASES[manifest.database]
    if manifest.database == "postgresql":
        if server.has_tools():
            server.statements(backup / database)
        return
    # A copy, for to open it could leave something beside it.
    copied = folder / f"looked-at-{database}"
    files.copy(backup / database, copied)
    restoring.compare(embedded.look_over(copied), manifest)


def _wrong_files(backup: Path, manifest: Manifest) -> list[str]:
    wrong = []
    for path, part in manifest.files.items():
        try:
            found = files.measure(backup / path)
        except OSError:
            wrong.append(gettext("%(path)s is missing or cannot be read") % {"path": path})
            continue
        if found != part:
            wrong.append(gettext("%(path)s was changed") % {"path": path})
    return wrong


def _strangers(backup: Path, manifest: Manifest) -> list[str]:
    known = {*manifest.files, MANIFEST}
    found = (path.relative_to(backup).as_posix() for path in backup.rglob("*") if not path.is_dir())
    return [gettext("%(path)s does not belong there") % {"path": path} for path in found if path not in known]
