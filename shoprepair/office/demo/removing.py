"""The demo's jobs, customers and history taken away, with a backup that brings them back for 30 days.

The database refuses to let go of a journal, of quotes, of covers. That is put aside here, for a shop whose
data folder says that the demo was built in it, and for nobody else.
"""

import shutil
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.apps import apps
from django.conf import settings
from django.db import connection
from django.db.models import Model, QuerySet
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.gear import library
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs.models import Customer, Job, Photo
from shoprepair.office.demo import known, mark
from shoprepair.pricing import catalogue
from shoprepair.pricing.models import Quote
from shoprepair.shop import journal, walls
from shoprepair.shop.archive import registry
from shoprepair.shop.archive.tables import tables
from shoprepair.shop.backup import facts, layout, sealing, writing
from shoprepair.shop.files import Kept
from shoprepair.shop.models import JournalEntry, Staff

FOLDER = "before-demo-removal"
KEPT_FOR = timedelta(days=30)
SUBJECT = "demo"
STAYS = frozenset(
    {
        *("shop.Shop", "shop.LoadFigures", "shop.MailText", "shop.Staff", "shop.DailyRun"),
        *("work.WorkRules", "work.BenchHours", "pricing.PriceRules"),
        *("gear.Cloth", "gear.Pattern", "gear.Panel", "gear.Tube", "gear.Valve"),
        *("pricing.Material", "pricing.Operation", "pricing.OperationMaterial"),
    }
)
"""Tables that stay, some of them in part. Whatever table comes to be is the demo's, and goes."""
OF_PATTERNS = ("gear.Panel", "gear.Tube", "gear.Valve")
CATALOGUE = ("pricing.OperationMaterial", "pricing.Operation", "pricing.Material", "pricing.PriceRules")
OF_PEOPLE = ("shop.LogIn", "shop.Pin", "shop.TrustedBrowser", "shop.SharedTablet", "work.BenchHours")


class NotTheDemo(ValueError):
    """This shop was not built as the demo; nothing of it is taken away here."""


@dataclass(frozen=True, slots=True)
class Going:
    """What would go, in counts, and how much of it came in since the demo was built."""

    customers: int
    gear: int
    jobs: int
    photos: int
    quotes: int
    entries: int
    since: int


@dataclass(frozen=True, slots=True)
class Removed:
    """A removal that can be brought back."""

    backup: Path
    until: datetime


def is_offered() -> bool:
    """Whether this shop holds the demo's data."""
    return mark.is_set()


def going() -> Going:
    """What removing would take away. Raises NotTheDemo."""
    _check()
    return Going(
        customers=Customer.objects.count(),
        gear=Inflatable.objects.count(),
        jobs=Job.objects.count(),
        photos=Photo.objects.count(),
        quotes=Quote.objects.count(),
        entries=JournalEntry.objects.count(),
        since=Job.objects.filter(received_at__gt=mark.since()).count(),
    )


def remove(
    *, keep_people: bool, keep_patterns: bool, keep_catalogue: bool, who: Staff, password: str = ""
) -> Removed:
    """Back all of it up, then take it away at once; whoever does it stays, by this password if given.

    Settings, load cases and cloths stay. What is not kept of patterns and prices is as the program brings it.
    Whoever else is kept is shut out while their password is one that the demo prints.
    Raises NotTheDemo, and BackupTrouble with nothing changed.
    """
    _check()
    folder = _folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    made = writing.make(folder, keep_all=True)
    files = list(facts.named(facts.of_shop()))
    with walls.down():
        _clear(keep_people=keep_people, keep_patterns=keep_patterns, keep_catalogue=keep_catalogue, who=who)
        known.shut_out(but=who)
        if password:
            who.set_password(password)
            who.save(update_fields=["password"])
        journal.record(
            SUBJECT,
            sealing.CLEARED,
            gettext("The demo data was removed."),
            who=who,
            changes={"backup": ["", made.path.name]},
        )
    if not keep_patterns:
        library.load()
    if not keep_catalogue:
        catalogue.load()
    mark.take_away()
    _forget()
    for name in files:
        with suppress(OSError):
            Kept(name).unlink()
    return Removed(made.path, _until(made.path))


def _check() -> None:
    if not mark.is_set():
        raise NotTheDemo(gettext("This shop was not built as the demo. Nothing of it is taken away here."))


def _clear(*, keep_people: bool, keep_patterns: bool, keep_catalogue: bool, who: Staff) -> None:
    for table in reversed(tables()):
        if table.label not in STAYS:
            _delete(table.model._base_manager.all())
    measured = Pattern.objects.all() if not keep_patterns else Pattern.objects.filter(measured_here=True)
    for label in OF_PATTERNS:
        _delete(_model(label)._base_manager.filter(pattern__in=measured.values("pk")))
    _delete(measured)
    if not keep_catalogue:
        for label in CATALOGUE:
            _delete(_model(label)._base_manager.all())
    if not keep_people:
        _let_go(who)


def _let_go(who: Staff) -> None:
    """Everybody but the one who does this, with what lets them in."""
    for label in OF_PEOPLE:
        for field in _model(label)._meta.concrete_fields:
            if field.related_model is Staff:
                _delete(_model(label)._base_manager.exclude(**{field.name: who}))
    _delete(Staff.objects.exclude(pk=who.pk))


def _delete(rows: "QuerySet[Any]") -> None:
    """Without asking what hangs from it: all of that goes too."""
    rows.order_by()._raw_delete(connection.alias)


def _model(label: str) -> type[Model]:
    return apps.get_model(label)


def to_bring_back(now: datetime | None = None) -> Removed | None:
    """The removal that can still be undone; None where there is none."""
    now = now or timezone.now()
    found = [path for path in layout.backups(_folder()) if _until(path) > now] if _folder().is_dir() else []
    return Removed(found[0], _until(found[0])) if found and not mark.is_set() else None


def _until(backup: Path) -> datetime:
    return layout.moment(backup) + KEPT_FOR


def let_old_go(now: datetime | None = None) -> int:
    """Throw away what can no longer be brought back; how many backups that were."""
    now = now or timezone.now()
    old = [path for path in layout.backups(_folder()) if _until(path) <= now] if _folder().is_dir() else []
    for path in old:
        (path / layout.MANIFEST).unlink()
        shutil.rmtree(path)
    return len(old)


def _folder() -> Path:
    return Path(settings.DATA_DIR) / FOLDER


def _forget() -> None:
    for forget in registry.FORGET:
        forget()
