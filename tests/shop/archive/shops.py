"""A shop that has lived, the same shop emptied, and archives that somebody has had their hands in."""

import hashlib
import io
import json
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from django.db import connection
from PIL import Image

from shoprepair.gear import describe
from shoprepair.jobs import checkin, links, photos
from shoprepair.shop import outbox
from shoprepair.shop.archive.layout import MANIFEST
from shoprepair.shop.archive.tables import table, tables
from shoprepair.shop.models import LogIn, Pin, SharedTablet, Staff, TrustedBrowser
from tests.cover.covering import lightly_covered
from tests.factories import StaffFactory

ODD_NAME = '=HYPERLINK("http://evil.example")\U0001f9f5 "Ø", O\'Brien'


__all__ = ["emptied", "lived_in", "rows", "spoiled", "table", "tables", "triggers"]


def lived_in() -> Staff:
    """A shop with a cover, its money, a photo, a letter, a link and a customer whose name is a formula."""
    owner = StaffFactory(username="runa", role=Staff.Role.OWNER)
    job = lightly_covered(who=owner).job
    checkin.add_customer(ODD_NAME, who=owner, phone="+1 555 0134", note="line one\r\nline two")
    file = io.BytesIO()
    Image.new("RGB", (40, 30), "teal").save(file, "JPEG")
    file.seek(0)
    photos.keep(job, file, who=owner)
    link = links.make(job, who=owner)
    words = {"job": str(job), "customer": "Ilka", "gear": "Petrel", "total": "$110.00"}
    outbox.write(
        "ilka@example.com", "ready", words | {"link": links.url(link, "https://loft.example")}, about=job
    )
    return owner


def rows() -> dict[str, list[tuple]]:
    """Every row of every table, in order, but for what an archive leaves behind."""
    return {table.label: list(table.rows(table.fields)) for table in tables()}


def emptied() -> None:
    """All rows gone, whatever the triggers say, as in a shop whose folder is new; the triggers stay."""
    for model in (LogIn, TrustedBrowser, Pin, SharedTablet):
        model.objects.all().delete()
    with _triggers_aside():
        for table in reversed(tables()):
            table.model._base_manager.all()._raw_delete(connection.alias)
    describe.forget()


@contextmanager
def _triggers_aside():
    """On SQLite they are taken away and put back as they were; a server lets its owner rest them."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            before, after = (
                [f'DROP TRIGGER "{name}"' for name, _ in triggers()],
                [sql for _, sql in triggers()],
            )
        else:
            names = [table.model._meta.db_table for table in tables()]
            before = [f'ALTER TABLE "{name}" DISABLE TRIGGER USER' for name in names]
            after = [f'ALTER TABLE "{name}" ENABLE TRIGGER USER' for name in names]
            # What is checked at the end of a transaction must not wait while a table is changed.
            before, after = (
                ["SET CONSTRAINTS ALL IMMEDIATE", *before],
                [*after, "SET CONSTRAINTS ALL DEFERRED"],
            )
        for statement in before:
            cursor.execute(statement)
        yield
        for statement in after:
            cursor.execute(statement)


def triggers() -> list[tuple[str, str]]:
    """Every trigger and how it was made, by name."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger' ORDER BY name")
        else:
            cursor.execute(
                "SELECT tgname, pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal ORDER BY tgname"
            )
        return cursor.fetchall()


def spoiled(archive: Path, change: Callable[[dict[str, bytes]], None], *, honest: bool = False) -> io.BytesIO:
    """The archive with its parts changed; `honest` reckons the manifest's digests anew, as a liar would."""
    with ZipFile(archive) as whole:
        parts = {name: whole.read(name) for name in whole.namelist()}
    change(parts)
    if honest:
        parts[MANIFEST] = _reckoned(parts)
    made = io.BytesIO()
    with ZipFile(made, "w", ZIP_DEFLATED) as other:
        for name, content in parts.items():
            other.writestr(name, content)
    made.seek(0)
    return made


def _reckoned(parts: dict[str, bytes]) -> bytes:
    manifest = json.loads(parts[MANIFEST])
    for label, said in manifest["tables"].items():
        content = parts[f"tables/{label}.jsonl"]
        said |= {"bytes": len(content), "rows": content.count(b"\n")}
        said["sha256"] = hashlib.sha256(content).hexdigest()
    return json.dumps(manifest).encode()
