"""The journal of a job as people read it: who, when, what, from what to what."""

import datetime
from collections.abc import Iterator
from typing import Any, NamedTuple

from django.db.models import Model, QuerySet
from django.utils import timezone
from django.utils.dateparse import parse_date, parse_datetime
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.mechanics.words import gettext_noop
from shoprepair.shop import journal
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import JournalEntry
from shoprepair.shop.units import Units, say_length

SHOWN_AT_FIRST = 20
FIELDS = (
    gettext_noop("address"),
    gettext_noop("bought year"),
    gettext_noop("colour"),
    gettext_noop("came with"),
    gettext_noop("day"),
    gettext_noop("direction"),
    gettext_noop("discount percent"),
    gettext_noop("email"),
    gettext_noop("face"),
    gettext_noop("gear"),
    gettext_noop("hold"),
    gettext_noop("kind"),
    gettext_noop("length"),
    gettext_noop("model"),
    gettext_noop("name"),
    gettext_noop("note"),
    gettext_noop("owner"),
    gettext_noop("phone"),
    gettext_noop("place"),
    gettext_noop("promised on"),
    gettext_noop("pumped above its rating"),
    gettext_noop("reason"),
    gettext_noop("serial"),
    gettext_noop("stage"),
    gettext_noop("terms"),
    gettext_noop("too weak by"),
    gettext_noop("urgency"),
    gettext_noop("valid until"),
)
"""What may change, by the names under which the journal keeps it."""
SAID_OTHERWISE = {"warranty": gettext_noop("ours to mend")}
KEY_OF_A_PHOTO = "photo"
"""Kept with what is said of it, and tells a reader nothing."""
NOTHING = gettext_lazy("nothing")


class Change(NamedTuple):
    name: str
    before: str
    after: str


class Entry(NamedTuple):
    at: datetime.datetime
    who_name: str
    text: str
    changes: tuple[Change, ...]


def journal_about(units: Units, *subjects: Model | str) -> dict[str, Any]:
    """All entries about these subjects."""
    return {"journal": [_entry(entry, units) for entry in _newest_first(*subjects)]}


def journal_of(job: Job, units: Units, *, whole: bool = False) -> dict[str, Any]:
    """The newest entries about the job, its customer and its inflatable, and the address of the rest."""
    about = _newest_first(job, job.customer, job.inflatable)
    found = list(about if whole else about[: SHOWN_AT_FIRST + 1])
    more = not whole and len(found) > SHOWN_AT_FIRST
    shown = found if whole else found[:SHOWN_AT_FIRST]
    return {
        "journal": [_entry(entry, units) for entry in shown],
        "journal_more": f"{job.get_absolute_url()}?journal=whole#journal" if more else "",
    }


def _newest_first(*subjects: Model | str) -> QuerySet[JournalEntry]:
    """By the moment each tells of; within one moment what was written later stands above."""
    return journal.entries(*subjects).order_by("-at", "-id")


def _entry(entry: JournalEntry, units: Units) -> Entry:
    return Entry(entry.at, entry.who_name, journal.words(entry), tuple(_changes(entry.changes, units)))


def _said(kept: str) -> str:
    """What is kept in English as it is in the catalogue, such as a stage, in the reader's language."""
    return gettext(kept) if kept else ""


def _changes(changes: dict[str, list[Any]], units: Units) -> Iterator[Change]:
    for name, (before, after) in changes.items():
        if name == KEY_OF_A_PHOTO:
            continue
        yield Change(_name(name), _value(name, before, units), _value(name, after, units))


def _name(name: str) -> str:
    plain = name.removesuffix("_m").removesuffix("_typed").replace("_", " ")
    return gettext(SAID_OTHERWISE.get(plain, plain))


def _value(name: str, value: Any, units: Units) -> str:
    """A kept value in words: dates as the shop writes them, lengths in the reader's units."""
    if value is None or value == "" or value == []:
        return str(NOTHING)
    if isinstance(value, bool):
        return gettext("yes") if value else gettext("no")
    if isinstance(value, list):
        return ", ".join(_said(str(each)) for each in value)
    if name.endswith("_m") and isinstance(value, int | float):
        return say_length(value, units)
    if name.endswith("_on") and (day := parse_date(str(value))):
        return date_format(day, "D j M Y")
    if name.endswith("_at") and (at := parse_datetime(str(value))):
        return date_format(timezone.localtime(at), "D j M Y, H:i")
    return _said(str(value))
