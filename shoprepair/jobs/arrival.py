"""What came along, written down on two tablets at once: neither loses its words.

Each page says what it showed. What somebody left as it was shown is not theirs to change; what two changed
otherwise is decided by a person who sees both.
"""

import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext

from shoprepair.jobs import checkin, corrections
from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff

FIELDS = ("came_with", "arrived_wet", "note", "promised_on")
_OTHERS = tuple(name for name in FIELDS if name != "promised_on")


class Meanwhile(ValueError):
    """Somebody else wrote something else meanwhile; `theirs` is what stands there, by field."""

    def __init__(self, theirs: dict[str, Any]) -> None:
        super().__init__(gettext("Somebody else has written something else here meanwhile."))
        self.theirs = theirs


def of(job: Job) -> dict[str, Any]:
    """What is kept of an arrival."""
    return {name: getattr(job, name) for name in FIELDS}


def keep(
    job: Job,
    *,
    who: Staff,
    typed: dict[str, Any],
    seen: dict[str, Any] | None = None,
    instead_of: dict[str, Any] | None = None,
) -> None:
    """Keep what was typed on a page that showed `seen`; all of it where that is not known.

    `instead_of` is what of somebody else's was read there and is written over on purpose. What met nobody is
    kept; then raises Meanwhile for the rest. Raises ValidationError and StaleRecord for the promised day.
    """
    with transaction.atomic():
        job.refresh_from_db(fields=[*FIELDS, "version"], from_queryset=Job.objects.select_for_update())
        now = of(job)
        facts, theirs = merge(now if seen is None else seen, now, typed)
        over = {name: typed[name] for name, there in theirs.items() if (instead_of or {}).get(name) == there}
        facts |= over
        checkin.note_arrival(job, who=who, **{name: facts[name] for name in _OTHERS if name in facts})
    if "promised_on" in facts:
        corrections.correct(job, who=who, promised_on=facts["promised_on"])
    if left := {name: there for name, there in theirs.items() if name not in over}:
        raise Meanwhile(left)


def merge(
    seen: dict[str, Any], now: dict[str, Any], typed: dict[str, Any]
) -> tuple[dict[str, Any], dict[str, Any]]:
    """What is to be written, and what stands there of somebody else's in its way."""
    facts: dict[str, Any] = {}
    theirs: dict[str, Any] = {}
    for name, value in typed.items():
        was, there = seen.get(name, now[name]), now[name]
        if isinstance(value, list):
            facts[name] = _together(was, there, value)
        elif value in (was, there) or (isinstance(was, datetime.date) and value is None):
            continue
        elif there == was:
            facts[name] = value
        else:
            theirs[name] = there
    return facts, theirs


def _together(was: list[str], there: list[str], typed: list[str]) -> list[str]:
    """Things are ticked one by one, so those of both stay, and what either took away is gone."""
    if was == there:
        return typed
    kept = [word for word in there if word not in was or word in typed]
    return [*kept, *(word for word in typed if word not in was and word not in kept)]
