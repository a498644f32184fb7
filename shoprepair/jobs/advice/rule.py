"""What a rule of the advice consists of."""

from dataclasses import dataclass
from string import Formatter

from django.utils.functional import Promise

from shoprepair.jobs.advice.verdicts import Verdict

Words = tuple[Promise, ...]
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, and the name of the picture that shows it; empty where none does."""

    words: Promise
    picture: str = ""

    def __str__(self) -> str:
        return str(self.words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """A repair that a person may do themselves: its steps in order, what to use and what never to."""

    steps: tuple[Step, ...]
    use: Words
    never: Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One answer in full. Texts are translated when they are written out."""

    code: str
    verdict: Verdict
    reason: Promise
    fix: Fix | None = None
    meanwhile: Words = ()
    """What to do with it until it is repaired."""
    later: Words = ()
    """What this means for the repair later on and its price."""
    checks: Words = ()
    """What to look at before going out again."""
    cautions: Words = ()
    source: str = PRACTICE

    @property
    def slots(self) -> frozenset[str]:
        """Names of the figures that its reason needs."""
        return frozenset(name for _text, name, *_rest in Formatter().parse(str(self.reason)) if name)
