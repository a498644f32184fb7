"""A PostgreSQL server's database as one file, by the server's own tools."""

import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

from django.db import connections
from django.utils.translation import gettext

from shoprepair.shop.backup.layout import BackupTrouble

SCHEMA = "public"
_LONGEST_S = 3600


def has_tools() -> bool:
    """Whether the server's tools are on this machine."""
    return all(shutil.which(tool) for tool in ("pg_dump", "pg_restore", "psql"))


def dump(target: Path, snapshot_id: str, alias: str = "default") -> None:
    """Write the database as it stands in a snapshot that is open. Raises BackupTrouble."""
    how = ["--format=custom", "--no-owner", "--no-privileges", f"--schema={SCHEMA}"]
    run(["pg_dump", *how, f"--snapshot={snapshot_id}", f"--file={target}"], alias)
    target.chmod(0o600)


def statements(source: Path) -> bytes:
    """All of a dump as statements; so every part of it was read. Raises BackupTrouble."""
    return run(["pg_restore", "--no-owner", "--no-privileges", "--file=-", str(source)], None)


def carry_out(script: bytes, alias: str = "default") -> None:
    """Carry out statements in one transaction: all, or none. Raises BackupTrouble."""
    how = ["--quiet", "--no-psqlrc", "--single-transaction", "--set=ON_ERROR_STOP=1", "--file=-"]
    run(["psql", *how], alias, script)


def run(command: list[str], alias: str | None, said: bytes | None = None) -> bytes:
    """Run one of the server's tools; what it wrote. Raises BackupTrouble with its first complaint."""
    environment = {**os.environ, **(_where(alias) if alias else {})}
    try:
        done = subprocess.run(  # noqa: S603 - our own words
            command, input=said, env=environment, capture_output=True, check=True, timeout=_LONGEST_S
        )
    except FileNotFoundError as error:
        raise BackupTrouble(
            gettext("%(command)s is not on this machine. Install PostgreSQL's client tools.")
            % {"command": command[0]}
        ) from error
    except subprocess.TimeoutExpired as error:
        raise BackupTrouble(
            gettext("%(command)s did not come to its end within an hour.") % {"command": command[0]}
        ) from error
    except subprocess.CalledProcessError as error:
        complaint = error.stderr.decode(errors="replace").strip().splitlines() or [
            gettext("it gave no reason")
        ]
        raise BackupTrouble(
            gettext("%(command)s could not do it: %(complaint)s.")
            % {"command": command[0], "complaint": complaint[0][:200]}
        ) from error
    return done.stdout


def others(alias: str = "default") -> int:
    """How many other programs are connected to the database."""
    with connections[alias].cursor() as cursor:
        cursor.execute(
            "SELECT COUNT(*) FROM pg_stat_activity WHERE datname = current_database() "
            "AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
        )
        return int(cursor.fetchone()[0])


def _where(alias: str) -> dict[str, str]:
    """Where the server is, as its tools read it; the password never stands in a command."""
    said: dict[str, Any] = connections[alias].settings_dict
    names = {
        "PGHOST": "HOST",
        "PGPORT": "PORT",
        "PGUSER": "USER",
        "PGPASSWORD": "PASSWORD",
        "PGDATABASE": "NAME",
    }
    return {name: str(said[key]) for name, key in names.items() if said[key]}
