"""What to do, told apart from what to beware of: a catalogue's line as a step and its caution."""

from collections.abc import Iterable
from dataclasses import dataclass

from shoprepair.pricing.step_codes import BEWARE
from shoprepair.shop.languages import begun_large

LONGEST = 300


@dataclass(frozen=True, slots=True)
class Told:
    """A step's sentence without its caution, and the caution."""

    text: str
    caution: str = ""


def told(lines: Iterable[tuple[str, str]]) -> list[tuple[Told, str]]:
    """A step for each line with its code. One that is nothing but a caution goes with the step after it."""
    steps: list[tuple[Told, str]] = []
    waiting: list[str] = []
    for line, code in lines:
        step = split(line)
        if not step.text:
            waiting += [step.caution] if step.caution else []
            continue
        steps.append((Told(step.text, _joined(*waiting, step.caution)), code))
        waiting = []
    if waiting and steps:
        last, code = steps[-1]
        steps[-1] = Told(last.text, _joined(last.caution, *waiting)), code
    return steps or [(Told(caution), "") for caution in waiting]


def split(line: str) -> Told:
    """'Sew it. ⚠ Fingers beside the foot.' as what to do and what to beware of."""
    do, _sign, beware = line.partition(BEWARE)
    return Told(_sentence(do), _sentence(beware.replace(BEWARE, " ")))


def _sentence(words: str) -> str:
    words = begun_large(" ".join(words.split()))
    if words and words[-1] not in ".!?…":
        words = f"{words}."
    return words[:LONGEST]


def _joined(*cautions: str) -> str:
    return " ".join(filter(None, cautions))[:LONGEST]
