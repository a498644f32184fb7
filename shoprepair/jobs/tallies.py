"""How often the same was asked on a day. It tells nothing of who asked."""

import datetime
from typing import Any

from django.db.models import F

from shoprepair.gear import everyday, named_places
from shoprepair.jobs.advice import Advice, Told
from shoprepair.jobs.models import SelfCheckTally


def count(told: Told, advice: Advice, day: datetime.date) -> None:
    """Count one answer that was read; two at once are both counted."""
    place, *_pin = told.place(everyday.planform(told.gear))
    same: dict[str, Any] = {
        "day": day,
        "gear": told.gear,
        "part": named_places.code_of(place),
        "look": told.look,
        "verdict": advice.verdict.code,
        "rule": advice.rule.code,
    }
    row, _made = SelfCheckTally.objects.get_or_create(**same)
    SelfCheckTally.objects.filter(pk=row.pk).update(count=F("count") + 1)
