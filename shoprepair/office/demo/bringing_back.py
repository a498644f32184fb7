"""The removed demo brought back from its backup, in place of a shop in which nothing has come in yet."""

from pathlib import Path

from django.conf import settings
from django.db import connection
from django.utils.translation import gettext

from shoprepair import database_url
from shoprepair.jobs.models import Customer, Job
from shoprepair.office.demo import mark
from shoprepair.office.demo.removing import to_bring_back
from shoprepair.shop import walls
from shoprepair.shop.archive import registry
from shoprepair.shop.backup import elsewhere, files, held, layout, moving, restoring
from shoprepair.shop.backup.layout import DATABASES, BackupTrouble, Manifest


def obstacle() -> str:
    """Why it cannot be brought back here, in a sentence; empty where it can."""
    found = to_bring_back()
    if found is None:
        return gettext("There is no demo data to bring back any more.")
    if Job.objects.exists() or Customer.objects.exists():
        return gettext(
            "Something has come in since. Bringing the demo back would take its place; restore it into a "
            "folder of its own instead."
        )
    manifest = layout.read(found.backup)
    if manifest.database != "sqlite":
        return gettext("The backup is one of a database server. It comes back by the command line.")
    if restoring.steps_missing(manifest):
        return gettext("The program has had a new version since. It comes back by the command line.")
    return ""


def command() -> str:
    """The command that brings it into a folder of its own, as it is typed."""
    found = to_bring_back()
    return f"SHOPREPAIR_DATA=/another/folder manage.py restore {found.backup}" if found else ""


def bring_back() -> None:
    """Everything as it stood before the removal, in one transaction; everybody logs in anew.

    Letters that waited are held until somebody looks at them. Raises BackupTrouble with nothing changed.
    """
    if why := obstacle():
        raise BackupTrouble(why)
    found = to_bring_back()
    if found is None:
        return
    _put(found.backup, layout.read(found.backup))
    mark.put()
    restoring.mend(found.backup)
    for forget in registry.FORGET:
        forget()


def _put(backup: Path, manifest: Manifest) -> None:
    name = DATABASES["sqlite"]
    with restoring.staging(Path(settings.DATA_DIR)) as staged:
        # A copy: opened as a database, the backup's own would no longer be what its manifest says.
        if files.copy(backup / name, staged / name) != manifest.files[name]:
            raise BackupTrouble(gettext("The backup of the demo was changed. Nothing was brought back."))
        with elsewhere.opened(database_url.sqlite(staged / name)) as there, walls.down():
            for model in moving.models():
                model._base_manager.all().order_by()._raw_delete(connection.alias)
            moving.move(there, "default")
            _hold(backup)


def _hold(backup: Path) -> None:
    """As after any restoring: no letter goes by itself, nobody is logged in, the journal tells of it."""
    with connection.cursor() as cursor:
        cursor.execute(held.HOLD)
        for table in held.LOGGED_IN:
            cursor.execute(f"DELETE FROM {table}")  # noqa: S608 - our own words
        zone = "" if connection.vendor == "sqlite" else "+00"
        cursor.execute(held.journal(layout.moment(backup), zone))
