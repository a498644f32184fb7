"""How a backup is laid out, and what its manifest says."""

import json
import re
import tomllib
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext

KIND = "shoprepair backup"
FORMAT = 1
MANIFEST, KEY, FILES = "manifest.json", "secret_key", "files"
DATABASES = {"sqlite": "shop.sqlite3", "postgresql": "shop.dump"}
"""Form of a backup's database to the name of its file."""
_NAME = re.compile(r"backup-\d{8}-\d{6}", re.ASCII)
_STAMP = "backup-%Y%m%d-%H%M%S"
_SHA256 = 64


class BackupTrouble(ValueError):
    """A backup cannot be made, read or restored; the message says why, in a sentence."""


@dataclass(frozen=True, slots=True)
class Part:
    """One file of a backup."""

    bytes: int
    sha256: str


@dataclass(slots=True)
class Manifest:
    """What a backup says of itself."""

    made_at: str
    shop: str
    program: str
    database: str
    """'sqlite' or 'postgresql'."""
    migrations: list[str]
    tables: dict[str, int]
    """Table to how many rows it has."""
    key: str
    """A fingerprint of the shop's key, from which the key cannot be told."""
    key_inside: bool
    files: dict[str, Part] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)
    """Files that records name and the disk no longer had."""
    spoiled: list[str] = field(default_factory=list)
    """Photos that were no longer what they had been; the backup has them as they were before."""
    format: int = FORMAT
    kind: str = KIND

    @property
    def bytes(self) -> int:
        return sum(part.bytes for part in self.files.values())

    @property
    def rows(self) -> int:
        return sum(self.tables.values())

    @property
    def photos(self) -> int:
        return sum(path.startswith(f"{FILES}/") for path in self.files)

    def text(self) -> str:
        return json.dumps(asdict(self), ensure_ascii=False, indent=1)


def read(backup: Path) -> Manifest:
    """The manifest of a backup. Raises BackupTrouble."""
    try:
        said = json.loads((backup / MANIFEST).read_bytes())
    except OSError as error:
        raise BackupTrouble(
            gettext("%(backup)s is no backup: it has no manifest that can be read.") % {"backup": backup}
        ) from error
    except ValueError as error:
        raise BackupTrouble(
            gettext("The manifest of %(name)s cannot be read.") % {"name": backup.name}
        ) from error
    if not isinstance(said, dict) or said.get("kind") != KIND:
        raise BackupTrouble(
            gettext("The manifest in %(backup)s is not that of a backup.") % {"backup": backup}
        )
    if said.get("format") != FORMAT:
        raise BackupTrouble(
            gettext("%(name)s was made by another version of this program.") % {"name": backup.name}
        )
    try:
        return _manifest(said)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise BackupTrouble(
            gettext("The manifest of %(name)s cannot be read.") % {"name": backup.name}
        ) from error


def _manifest(said: dict[str, Any]) -> Manifest:
    parts = {str(path): Part(int(part["bytes"]), str(part["sha256"])) for path, part in said["files"].items()}
    for path, part in parts.items():
        if Path(path).is_absolute() or ".." in Path(path).parts or len(part.sha256) != _SHA256:
            raise ValueError(path)
    if said["database"] not in DATABASES or DATABASES[said["database"]] not in parts:
        raise ValueError(said["database"])
    return Manifest(**{**said, "files": parts})


def name(moment: datetime) -> str:
    """What the backup of a moment is called."""
    return moment.astimezone(UTC).strftime(_STAMP)


def moment(backup: Path) -> datetime:
    """When a backup was made, by its name."""
    return datetime.strptime(backup.name, _STAMP).replace(tzinfo=UTC)


def backups(folder: Path) -> list[Path]:
    """The backups in a folder that are whole, the newest first. Raises OSError when it cannot be read."""
    found = [each for each in folder.iterdir() if _NAME.fullmatch(each.name)]
    return sorted((each for each in found if (each / MANIFEST).is_file()), reverse=True)


def find(at: Path) -> Path:
    """The backup at a path: itself, or the newest in that folder. Raises BackupTrouble."""
    if (at / MANIFEST).is_file():
        return at
    try:
        found = backups(at)
    except OSError:
        found = []
    if not found:
        raise BackupTrouble(gettext("There is no backup in %(at)s.") % {"at": at})
    return found[0]


def fingerprint(key: str) -> str:
    """What tells two keys apart without telling either."""
    return salted_hmac("shoprepair.shop.backup", "which key", secret=key, algorithm="sha256").hexdigest()[:16]


def program() -> str:
    """The version of this program."""
    try:
        said = tomllib.loads((Path(settings.BASE_DIR) / "pyproject.toml").read_text())
    except OSError:
        return "unknown"
    return str(said["project"]["version"])
