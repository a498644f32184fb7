"""What is so of several damages alike: a long sheet says it once, with their numbers."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from shoprepair.papers.context import in_runs

FEW = 6
"""Up to so many damages each says all that is so of it."""
ALIKE = 3
"""So many damages say the same before it is said of them together."""


class Shared(NamedTuple):
    """A sentence, and the damages it is said of: '1–32, 35'."""

    words: str
    damages: str


def shared(said: Mapping[int, Sequence[str]]) -> list[Shared]:
    """Of what is said of each damage by its number, what many of a long list have in common.

    In the order in which it is met first.
    """
    if len(said) <= FEW:
        return []
    of: dict[str, list[int]] = defaultdict(list)
    for number, sentences in said.items():
        for words in dict.fromkeys(sentences):
            of[words].append(number)
    return [
        Shared(words, ", ".join(in_runs(sorted(numbers))))
        for words, numbers in of.items()
        if len(numbers) >= ALIKE
    ]


def own(sentences: Iterable[str], together: Iterable[Shared]) -> tuple[str, ...]:
    """What is left to be said of one damage by itself."""
    said = {each.words for each in together}
    return tuple(words for words in sentences if words not in said)
