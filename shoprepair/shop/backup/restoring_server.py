"""Bringing a backup back into a PostgreSQL server."""

from dataclasses import replace as but_with
from datetime import UTC, datetime
from pathlib import Path

from django.db import connection, connections
from django.utils.translation import gettext

from shoprepair import database_url
from shoprepair.shop.backup import elsewhere, facts, held, layout, moving, restoring, server
from shoprepair.shop.backup.layout import DATABASES, BackupTrouble, Manifest
from shoprepair.shop.backup.restoring import Restored


def restore(backup: Path, data: Path, *, replace: bool = False) -> Restored:
    """Bring a backup back into the server's database, and its files into a folder of data.

    Every record comes in one transaction, its letters held; then the files take their place. A shop that was
    there is kept aside: its files in a folder, its tables in a schema of their own.
    """
    manifest = layout.read(backup)
    older = restoring.steps_missing(manifest)
    _check_free(replace=replace)
    with restoring.staging(data) as staged:
        restoring.stage(backup, manifest, staged)
        if manifest.database == "postgresql":
            _from_dump(staged / DATABASES["postgresql"], backup)
            restoring.compare(facts.facts(facts.of_shop(), "postgresql"), _with_journal(manifest))
        else:
            _from_file(staged / database_url.FILE, backup)
            older = False
        aside = restoring.set_aside(data, with_database=False)
        restoring.put(staged, data, with_database=False)
    (row,) = facts.of_shop()(held.COUNT)
    return Restored(backup, manifest, row["n"], aside, older)


def _check_free(*, replace: bool) -> None:
    if not replace and connection.introspection.table_names():
        raise BackupTrouble(
            gettext(
                "The database that DATABASE_URL names is not empty. With --replace its tables are kept "
                "aside, in a schema of their own."
            )
        )
    if server.others():
        raise BackupTrouble(gettext("Something else is connected to the database. Stop the shop first."))


def _from_dump(dump: Path, backup: Path) -> None:
    tables = server.statements(dump)
    made_at = layout.moment(backup)
    here = f"SET search_path TO {server.SCHEMA}"
    after = [here, held.HOLD, held.LOG_OUT_OF_SERVER.rstrip(";\n"), held.journal(made_at, "+00")]
    connections.close_all()
    server.carry_out(b"\n".join([_said([_aside()]), tables, _said(after)]))


def _from_file(database: Path, backup: Path) -> None:
    """The letters are held in the file already, before anything of it is in the server."""
    held.in_file(database, layout.moment(backup))
    with connection.cursor() as cursor:
        cursor.execute(_aside())
        cursor.execute(f"CREATE SCHEMA {server.SCHEMA}")
    elsewhere.lay_out("default")
    with elsewhere.opened(database_url.sqlite(database)) as source:
        elsewhere.lay_out(source)
        moving.move(source, "default")


def _aside() -> str:
    return f"ALTER SCHEMA {server.SCHEMA} RENAME TO before_restore_{datetime.now(UTC):%Y%m%d_%H%M%S}"


def _said(statements: list[str]) -> bytes:
    return "".join(f"{statement};\n" for statement in statements).encode()


def _with_journal(manifest: Manifest) -> Manifest:
    """What is there after restoring: an entry more in the journal, and nobody logged in."""
    changed = manifest.tables | {
        "shop_journalentry": manifest.tables["shop_journalentry"] + 1,
        **{table: 0 for table in held.LOGGED_IN if table in manifest.tables},
    }
    return but_with(manifest, tables=changed)
