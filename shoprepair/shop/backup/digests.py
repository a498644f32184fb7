"""What a table holds, as one number that two databases agree on when they hold the same."""

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Model

from shoprepair.shop.archive.plain import plain

CHUNK = 2000
_MODULUS = 1 << 256

Rows = Iterator[tuple[Any, ...]]


@dataclass(frozen=True, slots=True)
class Digest:
    """How many rows, and the sum of their SHA-256: databases sort texts differently, a sum has no order."""

    rows: int = 0
    total: int = 0

    def plus(self, row: tuple[Any, ...]) -> "Digest":
        return Digest(self.rows + 1, (self.total + _of(row)) % _MODULUS)


def rows(model: type[Model], alias: str) -> Rows:
    """Every row of a table with all its columns, a few at a time."""
    names = [field.attname for field in model._meta.concrete_fields]
    found = model._base_manager.using(alias).order_by("pk").values_list(*names)
    return found.iterator(chunk_size=CHUNK)


def digest(model: type[Model], alias: str) -> Digest:
    """The digest of a table as this database gives it back."""
    found = Digest()
    for row in rows(model, alias):
        found = found.plus(row)
    return found


def _of(row: tuple[Any, ...]) -> int:
    said = json.dumps([_same(plain(value)) for value in row], sort_keys=True, separators=(",", ":"))
    return int.from_bytes(hashlib.sha256(said.encode("utf-8", "surrogatepass")).digest())


def _same(value: Any) -> Any:
    """A value as every database gives it back: inside JSON one keeps 2.0 and another 2."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    if isinstance(value, dict):
        return {name: _same(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [_same(inner) for inner in value]
    return value
