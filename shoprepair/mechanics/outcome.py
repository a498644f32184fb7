"""What a rule found, before cautions and words of what lies beside it; and how it lays out its figures."""

from dataclasses import dataclass, field
from functools import lru_cache
from math import prod

from shoprepair.mechanics.description import Figure, Quantity, Sentence
from shoprepair.mechanics.floors import Floor
from shoprepair.mechanics.words import gettext_noop

PATTERN = gettext_noop("the pattern")
CASES = gettext_noop("the shop's load cases")
ANSWER = gettext_noop("what was found")
CLOTH = gettext_noop("the cloth library")
MEMBRANE = gettext_noop("membrane theory of a thin tube")
HEDGEPETH = gettext_noop("Hedgepeth 1961, NASA TN D-882")
PRACTICE = gettext_noop("common practice")


@dataclass(slots=True, kw_only=True)
class Outcome:
    """The fields of an `Assessment` that a rule decides; see there."""

    load_ratio: float
    case: str
    reason: Sentence
    floor: Floor | None = None
    reasons: list[Sentence] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)
    demand_n_per_m: float | None = None
    run_length_m: float | None = None
    hopeful_load_ratio: float | None = None
    runs_for_certain: bool = False
    out_of_range: bool = False
    pinhole_m: float | None = None


@lru_cache(maxsize=4096)
def given(name: str, value: float, unit: str, source: str, *, assumed: bool = False) -> Figure:
    """An input."""
    return Figure(name=name, quantity=Quantity(value, unit), formula="", source=source, assumed=assumed)


def step(name: str, value: float, unit: str, formula: str, source: str, *, assumed: bool = False) -> Figure:
    """A computed figure; its formula names figures that stand before it."""
    return Figure(name=name, quantity=Quantity(value, unit), formula=formula, source=source, assumed=assumed)


def product(figures: list[Figure]) -> float:
    """All shares of a strength together."""
    return prod(figure.quantity.value for figure in figures)


def times(first: str, figures: list[Figure]) -> str:
    """The formula of a product, in words."""
    return " × ".join([first, *(figure.name for figure in figures)])
