"""The empty database of the tests: made by the migrations once, and copied from then on.

What is copied stands beside the packages, named by what the migrations are: whoever changes one gets another.
"""

import fcntl
import hashlib
import shutil
import sqlite3
import sys
from pathlib import Path

import django
from django.conf import settings
from django.db import connection

KEPT = Path(sys.prefix) / "empty-databases"
PROGRAM = Path(__file__).resolve().parent.parent / "shoprepair"


def put(target: Path) -> None:
    """The empty database as a file of this name; who comes while it is first made waits for it."""
    KEPT.mkdir(exist_ok=True)
    kept = KEPT / f"{_name()}.sqlite3"
    with (KEPT / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            _make(kept)
    shutil.copyfile(kept, target)


def _name() -> str:
    """A digest of all that decides how the tables look."""
    digest = hashlib.sha256(f"{django.__version__} {sqlite3.sqlite_version}".encode())
    for file in sorted(PROGRAM.glob("*/migrations/*.py")):
        digest.update(f"{file.relative_to(PROGRAM)}\n".encode() + file.read_bytes())
    return digest.hexdigest()[:20]


def _make(kept: Path) -> None:
    """Migrate from nothing, and bring what is still in the log into the one file."""
    served = connection.settings_dict["NAME"]
    made = connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
    connection.close()
    settings.DATABASES["default"]["NAME"] = connection.settings_dict["NAME"] = served
    half = kept.with_suffix(".half")
    half.unlink(missing_ok=True)
    source, into = sqlite3.connect(made), sqlite3.connect(half)
    source.backup(into)
    source.close()
    into.close()
    for file in Path(made).parent.glob(f"{Path(made).name}*"):
        file.unlink()
    half.replace(kept)
