"""Plain values back from the JSON they were kept as: the same dataclasses, tuples, words and infinities.

What a later version added keeps its default, and what it no longer knows is passed over.
"""

import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

Kept = TypeVar("Kept")


def revive(of: type[Kept], kept: Mapping[str, Any]) -> Kept:
    """A dataclass from the mapping that `jobs.stored.plain` made of it."""
    hints = _hints(of)  # type: ignore[arg-type]
    names = [field.name for field in fields(of) if field.name in kept]  # type: ignore[arg-type]
    return of(**{name: _value(hints[name], kept[name]) for name in names})


@cache
def _hints(of: Any) -> dict[str, Any]:
    return get_type_hints(of)


def _value(hint: Any, kept: Any) -> Any:
    if get_origin(hint) in (Union, types.UnionType):
        return None if kept is None else _value(get_args(hint)[0], kept)
    if get_origin(hint) is tuple:
        return tuple(_value(inner, each) for inner, each in zip(_inner(hint, kept), kept, strict=True))
    if get_origin(hint) is frozenset:
        return frozenset(kept)
    if get_origin(hint) is dict:
        return {name: _value(get_args(hint)[1], each) for name, each in kept.items()}
    if is_dataclass(hint) and isinstance(hint, type):
        return revive(hint, kept)
    if isinstance(hint, type) and issubclass(hint, float | Enum):
        return hint(kept)
    return kept


def _inner(hint: Any, kept: list[Any]) -> list[Any]:
    """The type of each item: tuples are of one type throughout, or of one for each place."""
    inner = get_args(hint)
    return [inner[0]] * len(kept) if Ellipsis in inner else list(inner)
