"""What was estimated for a step: never the step alone, only the piece of work that it belongs to.

The catalogue estimates an operation, the rules an opening. How those minutes fall on the steps is only
divided (`recipe.split_minutes`, the shares of an opening), so that the bench can be planned; nobody is told
it as an estimate.
"""

from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from shoprepair.work.making import work_of
from shoprepair.work.models import Step
from shoprepair.work.recipe import SETTLED


class Estimate(NamedTuple):
    """The minutes of a whole piece of work, and over how many steps they go."""

    minutes: Decimal
    steps: int
    leads: bool
    """Whether the step is the first of them that is still to be done."""


def by_step(every: Sequence[Step]) -> dict[int, Estimate]:
    """For each of a job's steps, by id, what was estimated for the work that it is part of."""
    together: dict[str, list[Step]] = defaultdict(list)
    for step in every:
        together[_piece_of(step)].append(step)
    estimates = {}
    for part in together.values():
        minutes = sum((each.minutes for each in part), Decimal(0))
        first = next((each for each in part if each.state not in SETTLED), None)
        for step in part:
            estimates[step.pk] = Estimate(minutes, len(part), step is first)
    return estimates


def _piece_of(step: Step) -> str:
    """Opening and closing a tube is one piece, and so is each agreed work."""
    tube = step.opening.get("tube")
    return f"tube:{tube}:{step.opening.get('time')}" if tube else work_of(step)
