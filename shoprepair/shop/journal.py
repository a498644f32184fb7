"""The journal: who did what, when, and from what to what. It only grows; the database sees to that."""

import datetime
import math
from decimal import Decimal
from typing import Any

from django.db.models import Model, QuerySet
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.shop.models import JournalEntry, Staff
from shoprepair.shop.said import Said, again


def subject_of(record: Model | str) -> str:
    """What the journal calls a record: 'job:412' by its number, anything else by its key."""
    if isinstance(record, str):
        return record
    return f"{record._meta.model_name}:{getattr(record, 'number', None) or record.pk}"


def record(
    subject: Model | str,
    verb: str,
    text: str,
    *,
    who: Staff | None,
    who_name: str = "",
    changes: dict[str, list[Any]] | None = None,
) -> JournalEntry:
    """Write one entry. `text` is the sentence people read; `changes` maps a field to [before, after].

    A sentence by `shop.said` is kept with what it was made of, and said again in each reader's language.

    Somebody who is not of the staff, such as a customer, goes by `who_name` alone.
    """
    return JournalEntry.objects.create(
        subject=subject_of(subject),
        at=timezone.now(),
        who=who,
        who_name=str(who) if who else who_name or gettext("the program"),
        verb=verb,
        text=str(text),
        said=text.kept if isinstance(text, Said) else None,
        changes={name: [plain(value) for value in pair] for name, pair in (changes or {}).items()},
    )


def words(entry: JournalEntry) -> str:
    """The sentence of an entry in the reader's language; as it was written where nothing else is known."""
    if not entry.said:
        return gettext(entry.text) if entry.text else ""
    try:
        return again(entry.said)
    except (KeyError, TypeError, ValueError):
        return entry.text


def entries(*subjects: Model | str) -> QuerySet[JournalEntry]:
    """All entries about these subjects, newest first."""
    return JournalEntry.objects.filter(subject__in=[subject_of(subject) for subject in subjects])


def differences(before: dict[str, Any], after: dict[str, Any]) -> dict[str, list[Any]]:
    """The fields whose value differs, each with [before, after]."""
    names = [*before, *(name for name in after if name not in before)]
    pairs = {name: [before.get(name), after.get(name)] for name in names}
    return {name: pair for name, pair in pairs.items() if pair[0] != pair[1]}


def plain(value: Any) -> Any:
    """The value as JSON keeps it on every database: no infinity, no dates, no decimals."""
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, Model):
        return str(value)
    return value
