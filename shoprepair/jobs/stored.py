"""An assessment as JSON, with everything it was computed from, and back again.

Infinity, which JSON does not know, is kept as the word "inf".
"""

import math
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache, lru_cache
from typing import Any

from shoprepair.mechanics import assessment as mechanics
from shoprepair.mechanics.description import (
    Assessment,
    Band,
    Figure,
    Finding,
    LoadCases,
    Pattern,
    Place,
    Quantity,
    Sentence,
)


def stored(
    pattern: Pattern, place: Place, finding: Finding, cases: LoadCases, result: Assessment
) -> dict[str, Any]:
    """Inputs and result of one assessment as JSON takes them, in SI, with the version of the model."""
    return {
        "model": mechanics.MODEL_VERSION,
        "inputs": {
            "pattern": _kept_plain(pattern),
            "place": plain(place),
            "finding": plain(finding),
            "cases": _kept_plain(cases),
        },
        "result": plain(result),
    }


@lru_cache(maxsize=512)
def _kept_plain(value: Pattern | LoadCases) -> Any:
    """What thousands of findings have in common; it is written out and never changed."""
    return plain(value)


def plain(value: Any) -> Any:
    """Dataclasses as dicts, tuples and sets as lists, infinity as a word."""
    if names := _names(value.__class__):
        return {name: plain(getattr(value, name)) for name in names}
    if isinstance(value, dict):
        return {name: plain(item) for name, item in value.items()}
    if isinstance(value, frozenset | set):
        return sorted(plain(item) for item in value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return value


@cache
def _names(kind: type) -> tuple[str, ...]:
    """Of the fields of a dataclass; of anything else none."""
    return tuple(field.name for field in fields(kind)) if is_dataclass(kind) else ()


def read_back(result: dict[str, Any]) -> Assessment:
    """The assessment that was stored as `result`. What an older model did not know keeps its default."""
    known = (field.name for field in fields(Assessment) if field.name in result)
    return Assessment(**{name: _READERS.get(name, _number)(result[name]) for name in known})


def _number(kept: Any) -> Any:
    return float(kept) if kept in {"inf", "-inf", "nan"} else kept


def _quantity(kept: dict[str, Any]) -> Quantity:
    return Quantity(float(kept["value"]), kept["unit"])


def _sentence(kept: dict[str, Any]) -> Sentence:
    return Sentence(kept["text"], {name: _quantity(value) for name, value in kept["values"].items()})


def _sentences(kept: list[dict[str, Any]]) -> tuple[Sentence, ...]:
    return tuple(map(_sentence, kept))


def _figures(kept: list[dict[str, Any]]) -> tuple[Figure, ...]:
    return tuple(Figure(**{**figure, "quantity": _quantity(figure["quantity"])}) for figure in kept)


_READERS: dict[str, Callable[[Any], Any]] = {
    "band": Band,
    "reason": _sentence,
    "reasons": _sentences,
    "figures": _figures,
    "inspect": _sentences,
    "cautions": _sentences,
}
