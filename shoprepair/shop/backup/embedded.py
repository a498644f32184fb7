"""The embedded database as a file: copied while it is written to, looked over, and whether it is in use."""

import sqlite3
from contextlib import closing
from pathlib import Path

from django.utils.translation import gettext

from shoprepair.shop.backup.facts import Facts, facts, of_file, opened
from shoprepair.shop.backup.layout import BackupTrouble


def copy(source: Path, target: Path) -> None:
    """Copy it as it stands at one moment; nobody who writes meanwhile waits. Raises BackupTrouble.

    All pages in one step: between two steps somebody's writing would make it begin anew, for ever.
    """
    try:
        with closing(opened(source)) as live, closing(sqlite3.connect(target)) as made:
            live.backup(made)
            # One file that can be copied as it is, without a log beside it.
            made.execute("PRAGMA journal_mode=DELETE")
    except sqlite3.Error as error:
        raise BackupTrouble(
            gettext("The database %(source)s cannot be copied: %(error)s.")
            % {"source": source, "error": error}
        ) from error


def look_over(path: Path) -> Facts:
    """Every page and every pointer checked, and what it holds. Raises BackupTrouble when it is damaged."""
    try:
        with closing(opened(path)) as database:
            if (said := database.execute("PRAGMA integrity_check(3)").fetchone()[0]) != "ok":
                raise BackupTrouble(
                    gettext("The database is damaged: %(error)s.")
                    % {"error": " ".join(str(said).split())[:200]}
                )
            if astray := database.execute("PRAGMA foreign_key_check").fetchone():
                raise BackupTrouble(
                    gettext("A record of %(one)s points to one of %(other)s that is not there.")
                    % {"one": astray[0], "other": astray[2]}
                )
            return facts(of_file(database), "sqlite")
    except sqlite3.Error as error:
        raise BackupTrouble(gettext("The database is damaged: %(error)s.") % {"error": error}) from error


def is_in_use(path: Path) -> bool:
    """Whether another program has it open. A damaged one, of which nobody can tell, is not."""
    if not path.exists():
        return False
    try:
        with closing(opened(path)) as database:
            database.execute("PRAGMA busy_timeout=200")
            # To leave the log it must be alone; what the log held is then in the file itself.
            database.execute("PRAGMA journal_mode=DELETE")
            database.execute("PRAGMA journal_mode=WAL")
    except sqlite3.Error as error:
        return "locked" in str(error)
    return False
