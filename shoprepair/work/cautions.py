"""What to do, told apart from what to beware of: a catalogue's sentences as a step and its caution."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

LONGEST = 300
_CLAUSE = re.compile(r"([;:,]\s+)")
_BEWARE = re.compile(
    r"\b(never|free hand behind|fingers beside|window open|no flame|gloves on|goggles on|ears protected"
    r"|no heat|fumes|can burst|needle through it)\b",
    re.IGNORECASE,
)
_ONLY_A_CAUTION = re.compile(r"(never|caution|beware|do not|don't)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Told:
    """A step's sentence without its caution, and the caution."""

    text: str
    caution: str = ""


def told(sentences: Iterable[str]) -> list[Told]:
    """A step for each sentence. One that is nothing but a caution goes with the step after it."""
    steps: list[Told] = []
    waiting: list[str] = []
    for sentence in filter(None, (each.strip() for each in sentences)):
        if _ONLY_A_CAUTION.match(sentence):
            waiting.append(sentence)
            continue
        step = split(sentence)
        steps.append(Told(step.text, _joined(*waiting, step.caution)))
        waiting = []
    if waiting and steps:
        steps[-1] = Told(steps[-1].text, _joined(steps[-1].caution, *waiting))
    return steps or [Told(sentence[:LONGEST]) for sentence in waiting]


def split(sentence: str) -> Told:
    """'Sew it; fingers beside the foot, never before the needle.' as what to do and what to beware of."""
    first, *rest = _CLAUSE.split(sentence.strip().rstrip("."))
    do, beware = first, ""
    for mark, clause in zip(rest[::2], rest[1::2], strict=True):
        if _BEWARE.search(clause):
            beware += f"{mark if beware else ''}{clause}"
        else:
            do += f"{mark}{clause}"
    return Told(_sentence(do)[:LONGEST], _sentence(beware)[:LONGEST])


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def _joined(*cautions: str) -> str:
    return " ".join(filter(None, cautions))[:LONGEST]
