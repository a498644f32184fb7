"""Ratios of the shortest times, taken in turn in one process: what a drifting machine leaves comparable."""

import gc
import time
from collections.abc import Callable, Hashable, Mapping
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)

ROUNDS = 25


def fastest(acts: Mapping[Key, Callable[[], object]], rounds: int = ROUNDS) -> dict[Key, float]:
    """Seconds of the shortest of `rounds` runs of each, all of them in turn, the first run thrown away.

    What an act has as `before` is done before each of its runs, outside the clock.
    """
    best = dict.fromkeys(acts, float("inf"))
    for turn in range(rounds + 1):
        for name, act in acts.items():
            getattr(act, "before", _nothing)()
            gc.collect()
            began = time.perf_counter()
            act()
            took = time.perf_counter() - began
            if turn:
                best[name] = min(best[name], took)
    return best


def _nothing() -> None:
    """Most acts need no way in."""
