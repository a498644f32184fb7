"""Bringing an archive into an empty shop: all of it, or nothing."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import IO, Any
from zipfile import ZipFile

from django.core.management.color import no_style
from django.db import DataError, IntegrityError, connection, transaction
from django.db.models.sql import InsertQuery

from shoprepair.shop import erasing, journal
from shoprepair.shop.archive import checking, opening, registry
from shoprepair.shop.archive.layout import Manifest
from shoprepair.shop.archive.opening import ArchiveRefused, refuse
from shoprepair.shop.archive.tables import Table, tables
from shoprepair.shop.files import Kept
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Brought:
    """What came in, and who may log in now."""

    shop: str
    rows: int
    files: int
    owner: Staff


def obstacle() -> str:
    """Why nothing can be brought into this shop, in a sentence; empty where it is empty.

    Empty is also a shop that was only just begun: one person, settings and the library. They give way.
    """
    found = [
        f"{table.words}: {count}"
        for table in tables()
        if table.label not in registry.BEGUN and (count := table.count())
    ]
    if (people := Staff.objects.count()) > 1:
        found.append(gettext("people: %(people)s") % {"people": people})
    if not found:
        return ""
    some = ", ".join(found[:4])
    if len(found) > 4:
        some = gettext("%(some)s, and more") % {"some": some}
    return gettext(
        "This shop is not empty: it has records (%(some)s). An archive comes only into an empty shop, so "
        "that nothing is mixed or lost. Begin a shop in a new folder and bring it in there."
    ) % {"some": some}


def bring_in(source: Path | IO[bytes], *, password: str = "") -> Brought:
    """Look over the whole archive, then write all of it in one transaction, the photos before its end.

    The first owner who may log in gets `password`; everybody else is without one until an owner gives them
    one. Raises ArchiveRefused with a sentence; the shop is then as it was.
    """
    if why := obstacle():
        raise ArchiveRefused(why)
    with opening.opened(source) as (archive, manifest):
        checking.check(archive, manifest)
        try:
            return _write(archive, manifest, password)
        except (IntegrityError, DataError) as error:
            raise ArchiveRefused(
                gettext(
                    "The records of this archive contradict one another (%(error)s). Nothing was brought in."
                )
                % {"error": _said(error)}
            ) from error
        except OSError as error:
            raise ArchiveRefused(
                gettext("The shop's disk did not take it: it may be full. Nothing was brought in.")
            ) from error
        finally:
            for forget in registry.FORGET:
                forget()


def _write(archive: ZipFile, manifest: Manifest, password: str) -> Brought:
    with _files(archive, manifest) as written, transaction.atomic():
        if why := obstacle():
            raise ArchiveRefused(why)
        _clear()
        # Those that point before those they point to: keys are compared at the end, and a trigger that asks
        # whether the quote of a line is still a draft finds no quote yet.
        for table in reversed(tables()):
            _insert(table, checking.rows(archive, manifest, table))
        connection.check_constraints()
        _reset_sequences()
        for wrong in filter(None, (look() for look in registry.LAST_CHECKS)):
            refuse(wrong)
        owner = _let_in(password)
        told = gettext("The archive of %(shop)s, made at %(made_at)sZ, was brought in.") % {
            "shop": manifest.shop,
            "made_at": manifest.made_at[:19],
        }
        journal.record("archive", "archive.brought-in", told, who=None)
        written.write()
    rows = sum(part.rows for part in manifest.tables.values())
    return Brought(manifest.shop, rows, len(manifest.files), owner)


def _clear() -> None:
    """Take away what a shop is begun with; whatever it journalled goes with it, since it numbered nothing."""
    _let_nobody_in()
    with erasing.window(erasing.Purpose.ARCHIVE):
        for table in reversed(tables()):
            if table.label in registry.BEGUN:
                # Without asking what hangs from it: all of it goes.
                table.model._base_manager.all()._raw_delete(connection.alias)


def _let_nobody_in() -> None:
    """Take away what hangs from people and is in no archive: their log-ins, PINs and second factors."""
    archived = {table.model for table in tables()}
    for field in Staff._meta.get_fields(include_hidden=True):
        model = field.related_model
        if field.auto_created and not field.concrete and isinstance(model, type) and model not in archived:
            model._base_manager.all().delete()


def _insert(table: Table, found: Iterator[dict[str, Any]]) -> None:
    """Write rows exactly as they are: no default, no moment of now, no signal."""
    fields = list(table.model._meta.concrete_fields)
    while chunk := [_made(table, row) for row in islice(found, _at_once(len(fields)))]:
        query = InsertQuery(table.model)
        query.insert_values(fields, chunk, raw=True)
        query.get_compiler(connection=connection).execute_sql()


def _at_once(fields: int) -> int:
    most = connection.features.max_query_params
    return max(1, min(AT_ONCE, most // fields if most else AT_ONCE))


def _made(table: Table, row: dict[str, Any]) -> Any:
    if issubclass(table.model, Staff):
        person = Staff(**row)
        person.set_unusable_password()
        return person
    return table.model(**row)


def _reset_sequences() -> None:
    models = [table.model for table in tables()]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), models):
            cursor.execute(statement)


def _let_in(password: str) -> Staff:
    owner = Staff.objects.filter(role=Staff.Role.OWNER, is_active=True).order_by("pk")[0]
    if password:
        owner.set_password(password)
        owner.save(update_fields=["password"])
    return owner


class _Files:
    """The archive's files, each whole under its own name."""

    def __init__(self, archive: ZipFile, manifest: Manifest) -> None:
        self.archive, self.manifest = archive, manifest
        self.made: list[Kept] = []

    def write(self) -> None:
        for path, part in self.manifest.files.items():
            file = Kept(path)
            if file.exists():
                refuse(gettext("There is a file %(path)s in this shop already.") % {"path": path})
            self.made.append(file)
            file.write(opening.blocks(self.archive, path, part))


@contextmanager
def _files(archive: ZipFile, manifest: Manifest) -> Iterator[_Files]:
    """Takes the files away again if the rows that name them do not come to stay."""
    files = _Files(archive, manifest)
    try:
        yield files
    except BaseException:
        for file in files.made:
            with suppress(OSError):
                file.unlink()
        raise


def _said(error: Exception) -> str:
    return str(error).splitlines()[0][:120]
