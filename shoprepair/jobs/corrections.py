"""Correcting what was written: the new value in the record, the old one in the journal."""

import datetime
from collections.abc import Callable
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F, Model
from django.utils import timezone

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import checkin, search
from shoprepair.jobs.models import Customer, Job
from shoprepair.jobs.reassessment import reassess_job
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

Record = Job | Customer | Inflatable


class StaleRecord(ValueError):
    """Somebody else changed the record meanwhile; `record` is as it stands now."""

    def __init__(self, record: Record) -> None:
        super().__init__(
            gettext("Somebody has changed this meanwhile. Look at it as it is now, then change it again.")
        )
        self.record = record


def check_job(job: Job) -> None:
    """Raises ValidationError with a sentence per field that is wrong."""
    if not isinstance(job.promised_on, datetime.date):
        raise ValidationError({"promised_on": gettext("Write the date as 2026-05-31.")})
    if job.promised_on < timezone.localdate(job.received_at):
        raise ValidationError(
            {"promised_on": gettext("The promised date lies before the day the job came in.")}
        )


_CORRECTABLE: dict[type[Model], tuple[tuple[str, ...], Callable[[Any], None], str]] = {
    Job: (("promised_on", "note", "came_with", "arrived_wet", "received_at"), check_job, "job"),
    Customer: (("name", "phone", "email", "note"), checkin.check_customer, "customer"),
    Inflatable: (
        ("serial", "colour", "bought_year", "new_price", "condition", "note"),
        checkin.check_inflatable,
        "inflatable",
    ),
}


def correct(record: Record, *, who: Staff, version: int | None = None, **fields: Any) -> Record:
    """Correct fields of a job, a customer or an inflatable, keeping the old values in the journal.

    `version` is the one the person saw. Raises ValidationError with a sentence per field, and
    StaleRecord when somebody changed the record since.
    """
    allowed, check, what = _CORRECTABLE[type(record)]
    if unknown := set(fields) - set(allowed):
        raise TypeError(f"Not to be corrected here: {', '.join(sorted(unknown))}.")
    before = {name: getattr(record, name) for name in fields}
    changed = _with(record, fields)
    check(changed)
    changes = journal.differences(before, {name: getattr(changed, name) for name in fields})
    if not changes:
        return record
    with transaction.atomic():
        _swap(record, version, {name: getattr(changed, name) for name in changes})
        journal.record(
            record,
            f"{what}.corrected",
            gettext("Corrected: %(changes)s.") % {"changes": _names(changes)},
            who=who,
            changes=changes,
        )
        _after(record, changes, who)
    return record


def _with(record: Record, fields: dict[str, Any]) -> Record:
    changed = type(record)(**{f.attname: getattr(record, f.attname) for f in record._meta.concrete_fields})
    for name, value in fields.items():
        in_one_line = isinstance(value, str) and name != "note"
        setattr(changed, name, " ".join(value.split()) if in_one_line else value)
    return changed


def _swap(record: Record, version: int | None, values: dict[str, Any]) -> None:
    """Write the values if the version is still the one that was seen."""
    kind: Any = type(record)
    unchanged = kind.objects.filter(pk=record.pk, version=version or record.version)
    if not unchanged.update(**values, version=F("version") + 1):
        raise StaleRecord(kind.objects.get(pk=record.pk))
    record.refresh_from_db(fields=(*values, "version"))


def _after(record: Record, changes: dict[str, Any], who: Staff) -> None:
    """What hangs on the corrected facts: search words, and how worn cloth is judged."""
    if isinstance(record, Customer):
        search.index(record)
    if isinstance(record, Inflatable):
        for ownership in record.ownerships.filter(until=None).select_related("customer"):
            search.index(ownership.customer)
        if "condition" in changes:
            for job in record.jobs.filter(is_open=True):
                reassess_job(job, who=who)


def _names(changes: dict[str, Any]) -> str:
    return ", ".join(gettext(name.replace("_", " ")) for name in changes)
