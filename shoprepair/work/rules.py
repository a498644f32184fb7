"""The shop's one row of work rules: read where the bench asks for them, changed by the owner alone."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import isfinite
from typing import Any

from django.core.exceptions import ValidationError

from shoprepair.pricing import rules_row
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import JournalEntry, Staff
from shoprepair.shop.said import gettext
from shoprepair.work.models import WorkRules


@dataclass(frozen=True, slots=True)
class Range:
    """From the least to the most that a rule may be, and what is said of anything else."""

    low: float
    high: float
    otherwise: str


RANGES = {
    "allowed_loss_percent_per_hour": Range(
        0.1, 50, gettext_lazy("The allowed loss lies between 0.1 and 50 % an hour, such as 2.")
    ),
    "least_minutes": Range(5, 2880, gettext_lazy("A hold test takes from 5 to 2880 minutes, such as 60.")),
    "gauge_percent": Range(
        0.1, 20, gettext_lazy("What a gauge may be off lies between 0.1 and 20 %, such as 1.")
    ),
    "thermometer_k": Range(
        0.1, 10, gettext_lazy("What a thermometer may be off lies between 0.1 and 10 °C, such as 1.")
    ),
    "shop_height_m": Range(
        -400, 5000, gettext_lazy("The shop lies between 400 m below and 5000 m above the sea.")
    ),
    "forgotten_after_minutes": Range(
        15, 1440, gettext_lazy("A timer is forgotten after 15 to 1440 minutes, such as 180.")
    ),
    "slack_percent": Range(0, 300, gettext_lazy("What usually goes wrong adds from 0 to 300 %, such as 40.")),
}
WHOLE = ("least_minutes", "forgotten_after_minutes", "slack_percent")
CHANGEABLE = ("second_person", *RANGES)


def current() -> WorkRules:
    """The work rules; made with their defaults the first time someone asks."""
    return WorkRules.objects.filter(pk=1).first() or WorkRules.objects.get_or_create(pk=1)[0]


def change(rules: WorkRules, *, who: Staff, version: int, **fields: Any) -> WorkRules:
    """Change work rules. A hold test that has begun keeps the limits it began with.

    `version` is the one the person saw. Raises ValidationError with a sentence per field, and Stale
    when somebody changed the rules since.
    """
    if unknown := set(fields) - set(CHANGEABLE):
        raise TypeError(f"Not a work rule: {', '.join(sorted(unknown))}.")
    if problems := dict(_problems(fields)):
        raise ValidationError(problems)
    return rules_row.write(
        rules,
        fields,
        who=who,
        version=version,
        what=gettext("the work rules"),
        said=gettext("Work rules were changed."),
        meanwhile=_meanwhile,
    )


def _problems(fields: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for name, value in fields.items():
        within = RANGES.get(name)
        if within is None:
            continue
        if not (isfinite(value) and within.low <= value <= within.high):
            yield name, within.otherwise
        elif name in WHOLE and value != int(value):
            yield name, gettext("Write a whole number.")


def _meanwhile(entries: Iterable[JournalEntry]) -> list[str]:
    return [
        gettext("%(who_name)s changed %(join)s.")
        % {"who_name": entry.who_name, "join": ", ".join(name.replace("_", " ") for name in entry.changes)}
        for entry in entries
    ]
