"""What a rule found, before floors, cautions and words of what lies beside it."""

from dataclasses import dataclass, field

from shoprepair.mechanics.description import Figure, Quantity, Sentence


@dataclass(slots=True, kw_only=True)
class Outcome:
    """The fields of an `Assessment` that a rule decides; see there."""

    load_ratio: float
    case: str
    reason: Sentence
    reasons: list[Sentence] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)
    run_length_m: float | None = None
    hopeful_load_ratio: float | None = None
    runs_for_certain: bool = False
    out_of_range: bool = False
    pinhole_m: float | None = None


def given(name: str, value: float, unit: str, source: str, *, assumed: bool = False) -> Figure:
    """An input figure."""
    return Figure(name=name, quantity=Quantity(value, unit), formula="given", source=source, assumed=assumed)


def step(name: str, value: float, unit: str, formula: str, source: str, *, assumed: bool = False) -> Figure:
    """A computed figure, its formula in words."""
    return Figure(name=name, quantity=Quantity(value, unit), formula=formula, source=source, assumed=assumed)


PATTERN = "the pattern"
CASES = "the shop's load cases"
ANSWER = "the answers at check-in"
CLOTH = "the cloth library"
MEMBRANE = "membrane theory of a thin tube"
HEDGEPETH = "Hedgepeth 1961, NASA TN D-882"
