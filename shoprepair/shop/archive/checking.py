"""Looking over every record of an archive, before any is written."""

import json
from collections.abc import Iterator
from typing import Any
from zipfile import ZipFile

from django.utils.translation import gettext

from shoprepair.shop.archive import opening, registry
from shoprepair.shop.archive.layout import Manifest
from shoprepair.shop.archive.opening import refuse
from shoprepair.shop.archive.plain import Unreadable, read
from shoprepair.shop.archive.registry import Row
from shoprepair.shop.archive.tables import Table, tables, targets

OWNER = "owner"


def check(archive: ZipFile, manifest: Manifest) -> None:
    """Every table and file against its digest, every value, key and pointer. Raises ArchiveRefused."""
    looked = _Look(archive, manifest)
    for table in tables():
        looked.over(table)
    looked.finish()
    for path, part in manifest.files.items():
        for _ in opening.blocks(archive, path, part):
            pass


def rows(archive: ZipFile, manifest: Manifest, table: Table) -> Iterator[Row]:
    """The rows of a table as values of its fields. Raises ArchiveRefused."""
    fields = {field.attname: field for field in table.fields}
    lines = opening.lines(archive, table.label, manifest.tables[table.label])
    for place, line in enumerate(lines, 1):
        said = _object(line, table, place)
        if said.keys() != fields.keys():
            odd = ", ".join(sorted(map(str, said.keys() ^ fields.keys())))
            refuse(
                gettext("Record %(place)s of %(label)s has other fields than it should: %(odd)s.")
                % {"place": place, "label": table.label, "odd": odd[:80]}
            )
        try:
            yield {name: _value(fields[name], name, value) for name, value in said.items()}
        except Unreadable as wrong:
            refuse(
                gettext("Record %(place)s of %(label)s cannot be read: %(wrong)s.")
                % {"place": place, "label": table.label, "wrong": wrong}
            )


def _value(field: Any, name: str, value: Any) -> Any:
    try:
        return read(field, value)
    except Unreadable as wrong:
        raise Unreadable(gettext("“%(name)s” should be %(wrong)s") % {"name": name, "wrong": wrong}) from None


def _object(line: bytes, table: Table, place: int) -> dict[str, Any]:
    try:
        said = json.loads(line)
    except (ValueError, RecursionError):
        said = None
    if not isinstance(said, dict):
        refuse(gettext("Record %(place)s of %(label)s is not one.") % {"place": place, "label": table.label})
    return said


class _Look:
    """What has been seen so far: the keys that others may point to, the highest numbers, the files named."""

    def __init__(self, archive: ZipFile, manifest: Manifest) -> None:
        self.archive, self.manifest = archive, manifest
        self.keys: dict[str, set[Any]] = {}
        self.highest: dict[str, int] = {}
        self.counters: dict[str, int] = {}
        self.owners = 0
        self.named: set[str] = set()

    def over(self, table: Table) -> None:
        found = self._rows(table)
        if (looks := registry.CHECKS.get(table.label)) and (wrong := looks(found)):
            refuse(wrong)
        # Whatever that did not want to see is looked at all the same.
        for _ in found:
            pass

    def _rows(self, table: Table) -> Iterator[Row]:
        key, seen = table.model._meta.pk.attname, self.keys.setdefault(table.label, set())
        pointers, own = targets(table.model), []
        files = registry.FILES.get(table.label)
        for row in rows(self.archive, self.manifest, table):
            if row[key] in seen:
                refuse(
                    gettext("Two records of %(label)s have the same key, %(row)s.")
                    % {"label": table.label, "row": row[key]}
                )
            seen.add(row[key])
            for name, target in pointers.items():
                if row[name] is None or row[name] in self.keys.get(target, ()):
                    continue
                if target != table.label:
                    refuse(
                        gettext(
                            "Record %(row)s of %(label)s points to a record that is not there (%(name)s)."
                        )
                        % {"row": row[key], "label": table.label, "name": name}
                    )
                own.append(row[name])
            self._count(table.label, row)
            self.named.update(self._files(files, row))
            yield row
        if not seen.issuperset(own):
            refuse(gettext("A record of %(label)s points to one that is not there.") % {"label": table.label})

    def _files(self, files: Any, row: Row) -> list[str]:
        try:
            return list(files(row)) if files else []
        except ValueError as wrong:
            refuse(gettext("A file has a name that this program never gives: %(wrong)s.") % {"wrong": wrong})

    def _count(self, label: str, row: Row) -> None:
        for series, (numbered, name) in registry.NUMBERS.items():
            if numbered == label:
                self.highest[series] = max(self.highest.get(series, 0), row[name])
        if label == "shop.Counter":
            self.counters[row["name"]] = row["value"]
        if label == "shop.Staff":
            self.owners += row["role"] == OWNER and row["is_active"]

    def finish(self) -> None:
        for series, highest in self.highest.items():
            if self.counters.get(series, 0) < highest:
                refuse(
                    gettext("The numbers of “%(series)s” would be given twice: the count was changed.")
                    % {"series": series}
                )
        if not self.owners:
            refuse(gettext("Nobody in this archive is an owner who may log in."))
        if odd := sorted(set(self.manifest.files) - self.named):
            refuse(gettext("No record names the file “%(odd)s”.") % {"odd": odd[0][:80]})
