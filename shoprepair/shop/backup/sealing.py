"""The journal compared with what each backup says of it, so that nobody rewrites it without being found out.

The database refuses to change or delete an entry, but whoever owns its file can take that refusal away. So a
backup holds a digest of every entry as it stood: kept on another disk, it shows what was changed, taken out
or slipped in since, however old. Writing an entry costs nothing more. An entry whose words were erased with a
customer keeps what it was about, when, by whom and of what kind, and says itself that it was erased.
"""

import base64
import hashlib
import json
import re
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from django.db import connection
from django.utils.translation import gettext

from shoprepair.shop.backup import layout
from shoprepair.shop.backup.facts import Ask, of_file, of_shop, opened
from shoprepair.shop.backup.files import FOR_THE_OWNER
from shoprepair.shop.erasing import ERASED

SEAL = "journal.seal"
_COLUMNS = "id, subject, at, who_id, who_name, verb, text, changes, said"
_ENTRIES = f"SELECT {_COLUMNS} FROM shop_journalentry ORDER BY id"  # noqa: S608 - our own words
_RESTORED, _BROUGHT_IN, CLEARED = "backup.restored", "archive.brought-in", "shop.cleared"
"""Verbs of entries with which another journal began."""
_WHICH = re.compile(r"The backup of (\d{4}-\d\d-\d\d \d\d:\d\d) UTC was restored\.", re.ASCII)
_A_MINUTE, _A_SECOND = timedelta(minutes=1), timedelta(seconds=1)
_BYTES = 12
_TOLD = 5


@dataclass(frozen=True, slots=True)
class Sealed:
    """One entry's digests: of what never changes, and of the words that go when somebody is erased."""

    frame: str
    words: str
    erased: bool = False


Seals = dict[int, Sealed]


@dataclass(frozen=True, slots=True)
class Compared:
    """What came of comparing the journal with the backups."""

    entries: int
    backups: list[str]
    wrong: list[str]
    """A sentence each; empty while every entry is as it was written."""


def write(target: Path, ask: Ask) -> None:
    """Write the seal of a journal as it stands at the moment of a backup."""
    seals, _ = _of(ask)
    target.write_text("".join(f"{number} {one.frame} {one.words}\n" for number, one in seals.items()))
    target.chmod(FOR_THE_OWNER)


def write_of_copy(target: Path, database: Path) -> None:
    """The same of an embedded database that was copied already."""
    with closing(opened(database)) as copied:
        write(target, of_file(copied))


def compare(folder: Path) -> Compared:
    """Compare the shop's journal with every backup in a folder that is of this journal. Raises OSError."""
    now, belongs = _of(of_shop())
    compared: list[str] = []
    wrong: list[str] = []
    for backup in layout.backups(folder):
        if belongs(layout.moment(backup)) and (backup / SEAL).is_file():
            compared.append(backup.name)
            wrong += _differences(now, _read(backup / SEAL))
    return Compared(len(now), compared, _shortened(list(dict.fromkeys(wrong))))


def _of(ask: Ask) -> tuple[Seals, Callable[[datetime], bool]]:
    seals: Seals = {}
    breaks: list[tuple[datetime, datetime]] = []
    for row in ask(_ENTRIES):
        seals[row["id"]] = _sealed(row)
        if row["verb"] in (_RESTORED, _BROUGHT_IN, CLEARED):
            breaks.append((_restored_to(row), _moment(row["at"])))
    # A backup's name tells the second in which it was made: in that of the restoring, it came after.
    return seals, lambda moment: not any(since < moment <= until - _A_SECOND for since, until in breaks)


def _restored_to(row: dict[str, Any]) -> datetime:
    """Backups made from then on, until the entry, are of a journal that was given up."""
    if row["verb"] == _RESTORED and (found := _WHICH.fullmatch(row["text"])):
        return datetime.fromisoformat(found[1]).replace(tzinfo=UTC) + _A_MINUTE
    return datetime.min.replace(tzinfo=UTC)


def _sealed(row: dict[str, Any]) -> Sealed:
    changes = row["changes"]
    changes = json.loads(changes) if isinstance(changes, str) else changes
    said = row.get("said")
    said = json.loads(said) if isinstance(said, str) else said
    # An entry that does not know what it was made of is sealed as all were before any knew.
    of_words = [row["who_name"], row["text"], changes, *([said] if said else [])]
    words = json.dumps(of_words, sort_keys=True, ensure_ascii=False)
    at = _moment(row["at"]).isoformat()
    frame = json.dumps([row["id"], row["subject"], at, row["who_id"], row["verb"]], ensure_ascii=False)
    return Sealed(_digest(frame), _digest(frame + words), ERASED in words)


def _moment(said: Any) -> datetime:
    """A moment as either database gives it."""
    found = datetime.fromisoformat(said) if isinstance(said, str) else said
    return found.astimezone(UTC) if found.tzinfo else found.replace(tzinfo=UTC)


def _digest(text: str) -> str:
    return base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()[:_BYTES]).decode()


def _read(seal: Path) -> Seals:
    found: Seals = {}
    for line in seal.read_text().splitlines():
        number, frame, words = line.split(" ")
        found[int(number)] = Sealed(frame, words)
    return found


def _differences(now: Seals, then: Seals) -> Iterator[str]:
    for number, was in then.items():
        if (there := now.get(number)) is None:
            yield gettext("Entry %(number)s was taken out.") % {"number": number}
        elif there.frame != was.frame:
            yield gettext("Entry %(number)s is another than it was.") % {"number": number}
        elif there.words != was.words and not there.erased:
            yield gettext("The words of entry %(number)s were changed.") % {"number": number}
    # Where several write at once, a lower number may well come to be later.
    if connection.vendor == "sqlite":
        last = max(then, default=0)
        yield from (
            gettext("Entry %(n)s was slipped in.") % {"n": n} for n in now if n <= last and n not in then
        )


def _shortened(wrong: list[str]) -> list[str]:
    more = len(wrong) - _TOLD
    return wrong if more <= 0 else [*wrong[:_TOLD], gettext("And %(more)s more.") % {"more": more}]
