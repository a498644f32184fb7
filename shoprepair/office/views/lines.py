"""Journal entries as lines people read: what happened, and each change from what to what."""

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any, NamedTuple

from django.utils.translation import gettext

from shoprepair.shop import journal
from shoprepair.shop.models import JournalEntry

Said = tuple[str, str, str]
"""Label, before, after."""


class Line(NamedTuple):
    at: datetime
    who: str
    text: str
    changes: list[Said]


def lines(entries: Iterable[JournalEntry], say: Callable[[str, Any, Any], list[Said]]) -> list[Line]:
    """The entries in order; `say` turns a field with its two values into what is read."""
    return [Line(entry.at, entry.who_name, journal.words(entry), _changes(entry, say)) for entry in entries]


def _changes(entry: JournalEntry, say: Callable[[str, Any, Any], list[Said]]) -> list[Said]:
    return [said for name, (before, after) in entry.changes.items() for said in say(name, before, after)]


def shown(value: Any) -> str:
    """A value as it stands; an empty one says so."""
    return gettext("empty") if value in ("", None, [], {}) else str(value)
