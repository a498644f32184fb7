"""Changing a row that the owner keeps, with what was before in the journal and nobody's change lost."""

from typing import Any

from django.db import models, transaction

from shoprepair.shop import journal, settings
from shoprepair.shop.models import LoadFigures, Shop, Staff
from shoprepair.shop.said import gettext

FIGURES_CHANGED = "load-figures.changed"


class ChangedMeanwhile(ValueError):
    """Somebody else saved after this person opened the page."""

    def __init__(self) -> None:
        super().__init__(
            gettext(
                "Somebody changed this since you opened the page. See below what, then save "
                "again if you wish."
            )
        )


def newest(row: models.Model) -> int:
    """Number of the newest journal entry about a row, 0 before the first: the version of a page about it."""
    return journal.entries(row).aggregate(newest=models.Max("id"))["newest"] or 0


def change_shop(*, who: Staff, seen: int, **fields: Any) -> dict[str, list[Any]]:
    """Change settings of the shop; see `change`."""
    text = gettext("The shop's settings were changed.")
    return change(settings.current(), "shop.changed", text, who=who, seen=seen, fields=fields)


def change_load_figures(*, who: Staff, seen: int, **fields: float) -> dict[str, list[Any]]:
    """Change figures of the load cases; see `change`. Assessments stay until they are made anew."""
    text = gettext("Figures of the load cases were changed.")
    return change(settings.load_figures(), FIGURES_CHANGED, text, who=who, seen=seen, fields=fields)


def change(
    row: Shop | LoadFigures | Any, verb: str, text: str, *, who: Staff, seen: int, fields: dict[str, Any]
) -> dict[str, list[Any]]:
    """Set those fields that differ and journal them; answers field to [before, after].

    `seen` is what `newest` was when the person opened the page; raises ChangedMeanwhile when
    somebody saved since.
    """
    with transaction.atomic():
        row = type(row).objects.select_for_update().get(pk=row.pk)
        if newest(row) != seen:
            raise ChangedMeanwhile
        changes = journal.differences({name: getattr(row, name) for name in fields}, fields)
        if changes:
            for name in changes:
                setattr(row, name, fields[name])
            row.save(update_fields=list(changes))
            journal.record(row, verb, text, who=who, changes=changes)
    return changes
