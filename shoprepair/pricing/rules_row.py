"""How a row of rules is changed, of which a shop has one: price rules here, work rules above."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import F, Model

from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.models import JournalEntry, Staff

Rules = TypeVar("Rules", bound=Model)


def write(
    rules: Rules,
    fields: dict[str, Any],
    *,
    who: Staff,
    version: int,
    what: str,
    said: str,
    meanwhile: Callable[[Iterable[JournalEntry]], Sequence[str]],
) -> Rules:
    """Write those fields that differ and tell the journal that `said`; `version` is the one the person saw.

    Raises Stale about `what` when somebody changed the rules since, with what `meanwhile` makes of the
    entries that came after that version.
    """
    changes = journal.differences({name: getattr(rules, name) for name in fields}, fields)
    if not changes:
        return rules
    every = type(rules)._default_manager
    with transaction.atomic():
        unchanged = every.filter(pk=rules.pk, version=version)
        if not unchanged.update(version=F("version") + 1, **{name: fields[name] for name in changes}):
            now: Any = every.get(pk=rules.pk)
            raise Stale(what, now, meanwhile(journal.entries(now)[: max(now.version - version, 0)]))
        journal.record(rules, "rules.changed", said, who=who, changes=changes)
    rules.refresh_from_db()
    return rules
