"""How the backups stand: when the last good one was made, and what the owner must know."""

import json
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext, ngettext

from shoprepair.shop import damaged, notes
from shoprepair.shop.backup import layout
from shoprepair.shop.counted import counted
from shoprepair.shop.models import JournalEntry

A_DAY = timedelta(hours=26)
"""A day, and the time by which one night's backup may be later than the last."""
_STATE = "backup-state.json"
_NOTE = "backups"


@dataclass(frozen=True, slots=True)
class LastTry:
    """What came of the last try, good or not."""

    failed: str = ""
    spoiled: int = 0
    missing: int = 0
    journal: str = ""
    """What is wrong with the journal, as the backups know it."""
    photos: str = ""
    """What the nightly look at a share of the photos found."""


def folder() -> Path:
    """Where the backups of every day are kept."""
    return Path(settings.BACKUP_DIR)


def on_the_shops_disk() -> bool:
    """Whether they lie within the shop's own folder, and go with it."""
    return folder().resolve().is_relative_to(Path(settings.DATA_DIR).resolve())


def last_good() -> datetime | None:
    """When the last good backup was made; None where there is none, or none that can be seen."""
    try:
        found = [layout.moment(path) for path in layout.backups(folder())[:1]]
    except OSError:
        found = []
    if said := _noted().get("good_at"):
        found.append(datetime.fromisoformat(said))
    return max(found, default=None)


def age(now: datetime | None = None) -> timedelta | None:
    """How old the last good backup is; None where there is none."""
    last = last_good()
    return None if last is None else (now or timezone.now()) - last


def troubles(now: datetime | None = None) -> list[str]:
    """What is wrong with the backups, a sentence each; empty when a good one is younger than a day."""
    found, tried = [damaged.trouble(), *overdue(now)], last_try()
    if tried.spoiled or tried.missing:
        found.append(_about_photos(tried))
    elif tried.photos:
        found.append(tried.photos)
    if tried.journal:
        found.append(
            gettext("The journal is not as the backups have it. %(journal)s") % {"journal": tried.journal}
        )
    return [sentence for sentence in found if sentence]


def overdue(now: datetime | None = None) -> list[str]:
    """Why there is no good backup of today, a sentence each: too old a one, or a try that failed."""
    found, tried = [_lateness(last_good(), now or timezone.now())], last_try()
    if tried.failed:
        found.append(gettext("The last try failed: %(failed)s") % {"failed": tried.failed})
    return [sentence for sentence in found if sentence]


def last_try() -> LastTry:
    """What was noted of the last try; nothing where nothing was."""
    try:
        said = _noted() or json.loads(_state().read_bytes())
        return LastTry(**{name: value for name, value in said.items() if name != "good_at"})
    except (OSError, ValueError, TypeError, AttributeError):
        return LastTry()


def note(tried: LastTry) -> None:
    """Note what came of a try. A disk that does not take it keeps nothing else from being done."""
    if notes.are_read():
        good = last_good()
        notes.write(_NOTE, {**asdict(tried), "good_at": good.isoformat() if good else None})
    passing = _state().with_suffix(".part")
    with suppress(OSError):
        passing.write_text(json.dumps(asdict(tried)))
        passing.replace(_state())


def _noted() -> dict[str, Any]:
    """What the machine that makes the backups said to the others."""
    said = notes.read(_NOTE) if notes.are_read() else None
    return dict(said.said) if said else {}


def _lateness(last: datetime | None, now: datetime) -> str:
    if last is None:
        return _none(now)
    if now - last <= A_DAY:
        return ""
    days = (now - last) // timedelta(days=1)
    return gettext("The last good backup is %(age)s old.") % {"age": counted(days, "day")}


def _none(now: datetime) -> str:
    """A shop that was begun today has none yet, and nothing is wrong."""
    begun = JournalEntry.objects.order_by("pk").values_list("at", flat=True).first()
    if begun is None or now - begun <= A_DAY:
        return ""
    if not folder().is_dir():
        return gettext("No backup can be seen: the folder %(folder)s is not there.") % {"folder": folder()}
    return gettext("There is no backup of this shop.")


def _about_photos(tried: LastTry) -> str:
    said = []
    if tried.spoiled:
        said.append(
            ngettext(
                "%(n)s photo’s file on the disk is no longer what it was.",
                "%(n)s photos’ files on the disk are no longer what they were.",
                tried.spoiled,
            )
            % {"n": tried.spoiled}
        )
    if tried.missing:
        said.append(
            ngettext("%(n)s photo’s file is missing.", "%(n)s photos’ files are missing.", tried.missing)
            % {"n": tried.missing}
        )
    return " ".join([*said, gettext("“manage.py restore --files” puts back what the backup has.")])


def _state() -> Path:
    return Path(settings.DATA_DIR) / _STATE
