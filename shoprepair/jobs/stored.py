"""An assessment as JSON, with everything it was computed from, and back again.

Infinity, which JSON does not know, is kept as the word "inf".
"""

import math
from dataclasses import fields, is_dataclass
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
            "pattern": plain(pattern),
            "place": plain(place),
            "finding": plain(finding),
            "cases": plain(cases),
        },
        "result": plain(result),
    }


def plain(value: Any) -> Any:
    """Dataclasses as dicts, tuples and sets as lists, infinity as a word."""
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, dict):
        return {name: plain(item) for name, item in value.items()}
    if isinstance(value, frozenset | set):
        return sorted(plain(item) for item in value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return value


def read_back(result: dict[str, Any]) -> Assessment:
    """The assessment that was stored as `result`."""
    return Assessment(
        load_ratio=float(result["load_ratio"]),
        urgency=result["urgency"],
        band=Band(result["band"]),
        case=result["case"],
        reason=_sentence(result["reason"]),
        reasons=tuple(map(_sentence, result["reasons"])),
        figures=tuple(map(_figure, result["figures"])),
        run_length_m=_number(result["run_length_m"]),
        hopeful_load_ratio=_number(result["hopeful_load_ratio"]),
        runs_for_certain=result["runs_for_certain"],
        out_of_range=result["out_of_range"],
        pinhole_m=_number(result["pinhole_m"]),
        inspect=tuple(map(_sentence, result["inspect"])),
        cautions=tuple(map(_sentence, result["cautions"])),
    )


def _number(kept: float | str | None) -> float | None:
    return None if kept is None else float(kept)


def _quantity(kept: dict[str, Any]) -> Quantity:
    return Quantity(float(kept["value"]), kept["unit"])


def _sentence(kept: dict[str, Any]) -> Sentence:
    return Sentence(kept["text"], {name: _quantity(value) for name, value in kept["values"].items()})


def _figure(kept: dict[str, Any]) -> Figure:
    return Figure(**{**kept, "quantity": _quantity(kept["quantity"])})
