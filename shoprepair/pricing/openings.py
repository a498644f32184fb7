"""Where the closing seam is unpicked, so that every repair on a tube is reached in the least bench time."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext

TOLERANCE_M = 1e-9

Span = tuple[float, float]


class OutOfReach(ValueError):
    """A repair that no allowed opening can serve."""


@dataclass(frozen=True, slots=True)
class _Chain:
    """The cheapest openings for the repairs so far; compared by minutes, then number, then length."""

    minutes: float = 0.0
    openings: tuple[Span, ...] = ()

    def then(self, opening: Span, minutes: float) -> "_Chain":
        return _Chain(self.minutes + minutes, (*self.openings, opening))

    def worth(self) -> tuple[float, int, float]:
        length_m = sum(end - start for start, end in self.openings)
        return round(self.minutes, 9), len(self.openings), round(length_m, 9)


def plan(
    repairs: Sequence[Span],
    tube_length_m: float,
    fixed_minutes: float,
    minutes_per_m: float,
    reach_m: float,
    least_m: float = 0.15,
    forbidden: Sequence[Span] = (),
    most_m: float = math.inf,
) -> list[Span]:
    """Openings of the closing seam that serve all repairs of one tube at least cost, exactly.

    repairs: (middle, half extent) of each along the tube, m. An opening [a, b] serves a repair
    [s - e, s + e] when a - reach <= s - e and b + reach >= s + e. forbidden: stretches (valves, strut
    joints) that no opening may overlap. most_m: the longest allowed opening, where a shop sets one. Ties go
    to fewer openings, then to shorter ones.

    Returns (start, end) in m from the tube's left end, sorted. Raises OutOfReach naming the repair that
    cannot be served, ValueError for figures out of range.

    Method: taken by their left ends, the repairs that share an opening are neighbours (of all openings
    that begin early enough for a repair, the last one reaches furthest), so the best plan is the best
    chain of groups of neighbours: O(n^2) groups, each placed in one free stretch.
    """
    _check(repairs, tube_length_m, fixed_minutes, minutes_per_m, reach_m, least_m)
    if most_m < least_m:
        raise ValueError(gettext("The longest opening cannot be shorter than the least."))
    extents = sorted((middle - half, middle + half) for middle, half in repairs)
    free = [
        stretch for stretch in _free_stretches(tube_length_m, forbidden) if stretch[1] - stretch[0] >= least_m
    ]
    for low, high in extents:
        if not _place(low, high, free, reach_m, least_m, most_m):
            raise OutOfReach(
                gettext("The repair at %(value)s m cannot be reached: no opening may lie near enough.")
                % {"value": f"{(low + high) / 2:.2f}"}
            )

    def placed(low: float, high: float) -> Span | None:
        return _place(low, high, free, reach_m, least_m, most_m)

    def cost(opening: Span) -> float:
        return fixed_minutes + minutes_per_m * (opening[1] - opening[0])

    return _cheapest(extents, placed, cost)


def _cheapest(
    extents: Sequence[Span], placed: Callable[[float, float], Span | None], cost: Callable[[Span], float]
) -> list[Span]:
    """The best chain of groups of neighbours, each with one opening; every repair alone has a place."""
    best: list[_Chain | None] = [_Chain()] + [None] * len(extents)
    for last in range(1, len(extents) + 1):
        high = -float("inf")
        for first in range(last, 0, -1):
            high = max(high, extents[first - 1][1])
            opening = placed(extents[first - 1][0], high)
            before = best[first - 1]
            if not opening or before is None:
                continue
            chain = before.then(opening, cost(opening))
            current = best[last]
            if current is None or chain.worth() < current.worth():
                best[last] = chain
    found = best[-1]
    assert found is not None  # each alone is a group too
    return sorted(found.openings)


def _check(
    repairs: Sequence[Span],
    tube_length_m: float,
    fixed_minutes: float,
    minutes_per_m: float,
    reach_m: float,
    least_m: float,
) -> None:
    if not 0 < least_m <= tube_length_m:
        raise ValueError(gettext("The least opening must be longer than nothing and fit on the tube."))
    if min(fixed_minutes, minutes_per_m, reach_m) < 0:
        raise ValueError(gettext("Minutes and reach cannot be below nought."))
    for middle, half in repairs:
        if half < 0 or middle - half < -TOLERANCE_M or middle + half > tube_length_m + TOLERANCE_M:
            raise ValueError(
                gettext("The repair at %(middle)s m does not lie on the tube.") % {"middle": f"{middle:.2f}"}
            )


def _free_stretches(tube_length_m: float, forbidden: Sequence[Span]) -> Iterator[Span]:
    start = 0.0
    for low, high in sorted(forbidden):
        if low > start:
            yield start, min(low, tube_length_m)
        start = max(start, high)
    if start < tube_length_m:
        yield start, tube_length_m


def _place(
    low: float, high: float, free: Sequence[Span], reach_m: float, least_m: float, most_m: float
) -> Span | None:
    """The shortest opening that serves the stretch [low, high]; the leftmost of equals."""
    latest_start, earliest_end = low + reach_m, high - reach_m
    found: Span | None = None
    for stretch_start, stretch_end in free:
        start = min(latest_start, stretch_end - least_m)
        end = max(earliest_end, start + least_m)
        if (
            start < stretch_start - TOLERANCE_M
            or end > stretch_end + TOLERANCE_M
            or end - start > most_m + TOLERANCE_M
        ):
            continue
        start, end = _centred(start, end, low, high, stretch_start, least_m)
        if found is None or end - start < found[1] - found[0] - TOLERANCE_M:
            found = (start, end)
    return found


def _centred(start: float, end: float, low: float, high: float, stretch_start: float, least_m: float) -> Span:
    """Move an opening of least length toward the middle of what it serves, where the hands go."""
    if end - start > least_m + TOLERANCE_M:
        return start, end
    wanted = (low + high - least_m) / 2
    moved = max(stretch_start, min(start, wanted))
    return moved, moved + least_m
