"""What a restored shop must not do by itself: send what may long be sent, or know who was logged in."""

from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from django.utils import timezone

from shoprepair.mechanics.words import gettext_noop
from shoprepair.shop.backup.facts import opened
from shoprepair.shop.models import Letter

WORDS = gettext_noop("restored from a backup: look before sending it again")
"""Kept with the letters in English, by which they are counted again; said in the reader's language."""
_WAITED = f"state IN ('{Letter.State.WAITING}', '{Letter.State.SENDING}')"
HOLD = f"UPDATE shop_letter SET state = '{Letter.State.UNSURE}', last_error = '{WORDS}' WHERE {_WAITED}"  # noqa: S608 - our own words
COUNT = f"SELECT COUNT(*) AS n FROM shop_letter WHERE last_error = '{WORDS}'"  # noqa: S608 - our own words
LOGGED_IN = ("django_session", "shop_login")
"""Tables of who is logged in; an older backup may lack one."""
LOG_OUT_OF_SERVER = "".join(
    f"DO $$ BEGIN IF to_regclass('{table}') IS NOT NULL THEN DELETE FROM {table}; END IF; END $$;\n"  # noqa: S608 - our own words
    for table in LOGGED_IN
)


def journal(made_at: datetime, zone: str = "") -> str:
    """The statement that journals the restoring of a backup; `zone` is how the database writes UTC."""
    text = f"The backup of {made_at.astimezone(UTC):%Y-%m-%d %H:%M} UTC was restored."
    now = f"{timezone.now().astimezone(UTC):%Y-%m-%d %H:%M:%S.%f}{zone}"
    return (
        "INSERT INTO shop_journalentry (subject, at, who_id, who_name, verb, text, changes) "  # noqa: S608 - our own words
        f"VALUES ('backup', '{now}', NULL, 'the program', 'backup.restored', '{text}', '{{}}')"
    )


def in_file(database: Path, made_at: datetime) -> int:
    """Hold the letters of an embedded database that nobody has open, end all sessions; how many letters."""
    with closing(opened(database)) as connection, connection:
        connection.execute("BEGIN IMMEDIATE")
        count = connection.execute(HOLD).rowcount
        for table in LOGGED_IN:
            if connection.execute("SELECT 1 FROM sqlite_master WHERE name = ?", [table]).fetchone():
                connection.execute(f"DELETE FROM {table}")  # noqa: S608 - our own words
        connection.execute(journal(made_at))
        connection.execute("COMMIT")
    return count
