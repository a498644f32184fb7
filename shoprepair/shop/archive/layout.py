"""How an archive is laid out: `manifest.json`, `tables/<label>.jsonl` and the files under `files/`.

Version 1. The manifest says the version, when and of which shop it was made, the migrations that the
tables follow, and of every table and file its bytes and SHA-256, of a table its rows too. A table is JSON
Lines: one object a row, in the order of its key, UTF-8, moments in ISO 8601 with UTC, amounts as text, all
else in SI. The manifest is written last: an archive that was cut off has none.
"""

import json
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from shoprepair.shop.archive.tables import tables

FORMAT = 1
KIND = "shoprepair archive"
MANIFEST = "manifest.json"
TABLES, FILES = "tables/", "files/"


@dataclass(frozen=True, slots=True)
class Part:
    """One table or file as the manifest knows it."""

    bytes: int
    sha256: str
    rows: int = 0


@dataclass(slots=True)
class Manifest:
    """What an archive says of itself."""

    made_at: str
    shop: str
    migrations: list[str]
    tables: dict[str, Part] = field(default_factory=dict)
    files: dict[str, Part] = field(default_factory=dict)
    missing: int = 0
    """Files that the records name and the disk no longer had when the archive was made."""
    format: int = FORMAT
    kind: str = KIND

    def text(self) -> str:
        return json.dumps(asdict(self), ensure_ascii=False, indent=1)


def table_name(label: str) -> str:
    return f"{TABLES}{label}.jsonl"


def file_name(path: str) -> str:
    return FILES + path


def folder() -> Path:
    """Where the shop's files lie."""
    return Path(settings.MEDIA_ROOT)


def migrations() -> list[str]:
    """The steps that brought the tables to how they are, 'jobs.0001_initial'."""
    apps = {each.model._meta.app_label for each in tables()}
    applied: Any = MigrationRecorder(connection).applied_migrations()
    return sorted(f"{app}.{name}" for app, name in applied if app in apps)
