"""Where the tags of pins go: each near its point, none on another, no two threads across each other.

Tags are placed by their numbers, so a new one leaves the others where they are, unless its point lies under
one of them or beside their own points, or so many have come that all are drawn smaller. A tag whose thread
is tangled then looks once more for a better place, or changes it with the one it is tangled with; in the end
tags change places until no two threads cross. No tag ever lies on another, nor off the sheet.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import cos, hypot, inf, pi, sin

from shoprepair.gear.curve import Point
from shoprepair.gear.diagram.box import Box
from shoprepair.gear.diagram.tangles import Spot, of_two, tangles
from shoprepair.gear.diagram.uncrossed import uncrossed
from shoprepair.gear.diagram.view import View

RINGS = (0.75, 1.15, 1.6, 2.2, 2.9, 3.7, 4.8, 6.2, 8.0, 10.5)
"""Lengths of thread that are tried, in tag heights."""
LEAST_WAYS = 24
"""Directions that are tried; more where the thread is so long that there is room for more."""
BELOW, ASIDE = 0.7, 0.3
"""How much thread it is worth to hang a tag above its point rather than below it, or beside it."""
TANGLED = 8.0
"""How much thread it is worth not to cross a thread, nor run under a tag."""
APART = 0.12
"""Between two tags, and between a tag and another's point, in tag heights."""
NEAR = 2.6
"""Points that lie nearer together than this, in tag heights, crowd each other."""
CROWDS = (5, 10, 20, 40)
"""A crowd's tags hang on a ring with room for so many, so that no tag shuts the others in."""
MOST_WEIGHED = 90
"""So many free places are compared; in the thick of a crowd more would hardly be better."""
ROUNDS = 2
SMALLER = 0.86
LEAST = 0.2


@dataclass(frozen=True)
class Board:
    """What is to be placed where: points, the size of each one's tag, the sheet."""

    knots: tuple[Point, ...]
    widths: tuple[float, ...]
    height: float
    view: View
    clear: tuple[Box, ...]
    """What no tag may lie on besides: words of the drawing."""
    unit: float
    """What lengths of thread are measured by: a tag's height as it is drawn where most is seen."""

    @property
    def _apart(self) -> float:
        return APART * self.unit

    def spots(self) -> list[Spot] | None:
        """A place for each; None where one finds none without lying on another."""
        placed: list[Spot] = []
        for number in range(len(self.knots)):
            if (spot := self._best(number, placed)) is None:
                return None
            placed.append(spot)
        return uncrossed(self._untangled(placed))

    def _best(self, number: int, others: Sequence[Spot]) -> Spot | None:
        """The cheapest place that covers nobody's point; else the cheapest that lies on no other tag."""
        most, best, covering, weighed = inf, None, None, 0
        taken = [*self.clear, *(spot.box.grown(self._apart) for spot in others)]
        for stage, least in enumerate(self._rings(number)):
            if most <= least:
                break
            for cost, spot in self._tried(number, stage):
                if cost >= most or (best and weighed > MOST_WEIGHED):
                    break
                if spot.box.on_any(taken):
                    continue
                if self._covers(number, spot.box):
                    covering = covering or spot
                    continue
                weighed += 1
                cost += TANGLED * tangles(spot, others, (most - cost) / TANGLED)
                if cost < most:
                    most, best = cost, spot
        return best or covering

    def _covers(self, number: int, box: Box) -> bool:
        return box.grown(self._apart).holds_any(self._other_knots[number])

    @cached_property
    def _other_knots(self) -> list[list[Point]]:
        """Each point's others, without those at the very same place, which no tag of it could spare."""
        return [[knot for knot in self.knots if knot != own] for own in self.knots]

    def _rings(self, number: int) -> list[float]:
        """How much thread each ring of places takes, the nearest first; the last stands for a grid."""
        nearest = self._nearest(number)
        return [nearest, *(ring for ring in RINGS if ring > nearest), TANGLED]

    def _tried(self, number: int, stage: int) -> list[tuple[float, Spot]]:
        """The places of one ring round a point, or of the grid, the cheapest first."""
        key = self.knots[number], self.widths[number], stage
        if key not in self._kept:
            corners = self._corners(number, self._rings(number)[stage:])
            spots = [spot for corner in corners for spot in self._within(number, *corner)]
            costs = ((self._cost(spot, number), spot) for spot in spots)
            self._kept[key] = sorted(costs, key=lambda each: each[0])
        return self._kept[key]

    @cached_property
    def _kept(self) -> dict[tuple[Point, float, int], list[tuple[float, Spot]]]:
        """Those at the very same point try the same places."""
        return {}

    def _corners(self, number: int, rings: list[float]) -> list[tuple[float, float]]:
        """Upper left corners of a ring's places; of the whole sheet's where it is the last."""
        knot, wide, high = self.knots[number], self.widths[number], self.height
        if len(rings) == 1:
            return [(left, top) for left in self._steps(wide) for top in self._rows]
        reach = rings[0] * self.unit
        ways = _ways(max(LEAST_WAYS, 4 * round(reach / wide)))
        return [
            (
                knot.x_m + across * (reach + wide / 2) - wide / 2,
                knot.y_m + down * (reach + high / 2) - high / 2,
            )
            for across, down in ways
        ]

    def _steps(self, wide: float) -> list[float]:
        return _even(self.view.x_m, self.view.width_m, wide * 1.08)

    @cached_property
    def _rows(self) -> list[float]:
        return _even(self.view.y_m, self.view.height_m, self.height * 1.14)

    def _within(self, number: int, left: float, top: float) -> Iterator[Spot]:
        knot, slack = self.knots[number], 1e-9
        box = Box(left, top, left + self.widths[number], top + self.height)
        inside = self.view.holds(box.left + slack, box.top + slack, box.right - slack, box.bottom - slack)
        if inside and not box.grown(self._apart).holds(*knot):
            yield Spot(knot, box)

    def _crowd(self, number: int) -> list[Point]:
        own, reach = self.knots[number], NEAR * self.unit
        return [k for k in self.knots if hypot(k.x_m - own.x_m, k.y_m - own.y_m) < reach]

    def _nearest(self, number: int) -> float:
        """The shortest thread that is tried."""
        crowd = len(self._crowd(number))
        room = next((most for most in CROWDS if crowd <= most), CROWDS[-1])
        if room == CROWDS[0]:
            return RINGS[0]
        return room * 1.25 * self.widths[number] / (2 * pi * self.unit)

    def _cost(self, spot: Spot, number: int) -> float:
        """Thread in tag heights, and what is worth as much of it; out of a crowd it is best led outwards."""
        knot, eye = spot.knot, spot.eye
        long = spot.thread or 1e-9
        across, down = (eye.x_m - knot.x_m) / long, (eye.y_m - knot.y_m) / long
        cost = long / self.unit + BELOW * max(down, 0.0) + ASIDE * abs(across)
        out_x, out_y = self._outwards[number]
        return cost + 1.5 * (hypot(out_x, out_y) - out_x * across - out_y * down)

    @cached_property
    def _outwards(self) -> list[tuple[float, float]]:
        """Which way leads each point out of its crowd, and how strongly; nowhere for one alone."""
        found = []
        for number, own in enumerate(self.knots):
            crowd = self._crowd(number)
            x = own.x_m - sum(k.x_m for k in crowd) / len(crowd)
            y = own.y_m - sum(k.y_m for k in crowd) / len(crowd)
            away = max(hypot(x, y), self.height)
            found.append((x / away, y / away))
        return found

    def _untangled(self, spots: list[Spot]) -> list[Spot]:
        """The same with fewer threads that cross, as far as moving one or changing two helps."""
        for _ in range(ROUNDS):
            before = list(spots)
            for number, spot in enumerate(spots):
                others = [*spots[:number], *spots[number + 1 :]]
                if not tangles(spot, others):
                    continue
                better = self._best(number, others)
                if better and tangles(better, others) < tangles(spot, others):
                    spots[number] = better
                else:
                    self._change(spots, number)
            if spots == before:
                break
        return spots

    def _change(self, spots: list[Spot], number: int) -> None:
        """Give a tag and one that it is tangled with each other's place where that leaves fewer tangles."""
        for other, there in enumerate(spots):
            here = spots[number]
            if other == number or self.widths[other] != self.widths[number] or not tangles(here, [there]):
                continue
            rest = [spot for n, spot in enumerate(spots) if n not in (number, other)]
            pair = Spot(here.knot, there.box), Spot(there.knot, here.box)
            if any(self._covers(n, spot.box) for n, spot in zip((number, other), pair, strict=True)):
                continue
            if of_two(pair, rest) < of_two((here, there), rest):
                spots[number], spots[other] = pair


@lru_cache(maxsize=64)
def _ways(count: int) -> tuple[tuple[float, float], ...]:
    return tuple((cos(2 * pi * n / count), sin(2 * pi * n / count)) for n in range(count))


def _even(start: float, whole: float, each: float) -> list[float]:
    """Where the most pieces of a length that fit into a whole begin, evenly spread over it."""
    count = int(whole / each)
    return [start + n * (whole - each) / max(count - 1, 1) for n in range(count)]


def placed(
    knots: Sequence[Point],
    widths: Sequence[float],
    height: float,
    view: View,
    grown: float = 1.0,
    clear: tuple[Box, ...] = (),
) -> list[Spot]:
    """A place for each point's tag, no two on each other; smaller ones where the sheet is too full for them.

    With `grown` there is room for each to be drawn so many times as large; none lies on what is `clear`.
    """
    size = 1.0
    while size > LEAST:
        most = size * grown
        wide = tuple(most * width for width in widths)
        board = Board(tuple(knots), wide, most * height, view, clear, size * height)
        if (spots := board.spots()) is not None:
            return spots
        size *= SMALLER
    raise ValueError(f"No sheet of {view.box} has room for {len(knots)} tags.")
