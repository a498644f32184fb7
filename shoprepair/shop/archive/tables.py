"""The tables of a shop, found in the models: whatever a package keeps is in them without being named here."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.apps import apps
from django.db.models import Field, Model

from shoprepair.shop.archive.table_words import WORDS

CHUNK = 2000
PROGRAM = "shoprepair."
LETS_IN = frozenset({"shop.LogIn", "shop.SharedTablet", "shop.TrustedBrowser", "shop.Pin"})
"""What lets people in beside their passwords, which stay behind too."""
NOT_THE_SHOPS = LETS_IN | {"shop.Erasing", "shop.Note", "shop.Staff_groups", "shop.Staff_user_permissions"}
"""A window that is always empty between transactions, what machines say to one another, and Django's own
roles, which nobody here has."""
SECRET = frozenset({"password", "nonce", "token_hash"})
_SECRET_ENDS = ("_nonce", "_hash")
SECRET_OF = {label: frozenset({"key"}) for label in ("shop.Submission", "work.Tick", "jobs.Enquiry")}
NOT_ARCHIVED = {"shop.Staff": frozenset({"password", "last_login"})}
"""Fields that an archive leaves behind; what comes back in their place is decided in `bringing`."""


@dataclass(frozen=True)
class Table:
    """One table: its label, and its fields in the order of their columns."""

    label: str
    model: type[Model]

    @property
    def words(self) -> str:
        """What it holds, as people say it: 'journal entries'."""
        return str(WORDS[self.label])

    @property
    def fields(self) -> list["Field[Any, Any]"]:
        """What the archive keeps of a row."""
        left_out = NOT_ARCHIVED.get(self.label, frozenset())
        return [field for field in self.model._meta.concrete_fields if field.attname not in left_out]

    @property
    def open_fields(self) -> list["Field[Any, Any]"]:
        """What of a row leaves in CSV and JSON: nothing that opens anything."""
        own = SECRET_OF.get(self.label, frozenset())
        return [
            field
            for field in self.model._meta.concrete_fields
            if field.attname not in SECRET | own and not field.attname.endswith(_SECRET_ENDS)
        ]

    def rows(self, fields: list["Field[Any, Any]"]) -> Iterator[tuple[Any, ...]]:
        """The values of every row, by key, a few at a time."""
        names = [field.attname for field in fields]
        found = self.model._base_manager.order_by("pk").values_list(*names)
        return found.iterator(chunk_size=CHUNK)

    def count(self) -> int:
        return self.model._base_manager.count()


@cache
def tables() -> tuple[Table, ...]:
    """All tables, those that others point to before those that point to them."""
    found = {
        _label(model): Table(_label(model), model)
        for model in apps.get_models(include_auto_created=True)
        if apps.get_app_config(model._meta.app_label).name.startswith(PROGRAM)
        and model._meta.managed
        and not model._meta.proxy
        and _label(model) not in NOT_THE_SHOPS
    }
    ordered: dict[str, Table] = {}
    for label in sorted(found):
        _place(label, found, ordered, ())
    return tuple(ordered.values())


def table(label: str) -> Table | None:
    """The table of this label, 'jobs.Job'."""
    return next((each for each in tables() if each.label == label), None)


def targets(model: type[Model]) -> dict[str, str]:
    """Each field that points to another table, with that table's label."""
    return {
        field.attname: _label(field.related_model)
        for field in model._meta.concrete_fields
        if field.is_relation and isinstance(field.related_model, type)
    }


def _label(model: type[Model]) -> str:
    return model._meta.label


def _place(
    label: str, found: dict[str, Table], ordered: dict[str, Table], on_the_way: tuple[str, ...]
) -> None:
    if label in ordered or label in on_the_way or label not in found:
        return
    for target in sorted(set(targets(found[label].model).values())):
        _place(target, found, ordered, (*on_the_way, label))
    ordered[label] = found[label]
