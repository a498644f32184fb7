"""The jobs of a plan in their order, each with its turns at a bench; and where in it one more goes.

By its key, unless that makes any job late: then each place near by is tried, and it goes where the least
comes late by it. Lateness is counted in bench minutes past the end of the promised day, weighted by danger.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from shoprepair.work.bench import NEVER, RANK, Bench, Turn
from shoprepair.work.making_way import Moved, put
from shoprepair.work.tasks import JobToDo

LOOK = 6
"""How many places up and down the order a new job may go to spare lateness."""
STEPS = 1 << 16
"""More than a job has: between the ranks of two jobs lie so many."""


@dataclass(frozen=True, slots=True)
class New:
    """What the line must know of a job that is put in."""

    job: JobToDo
    rank: int
    """Its place among all jobs by their keys."""
    release: int
    """The time by the clock from which anything can be done on it."""
    due: int
    """The time by the clock past which it is late."""
    weight: int
    """How many times each minute of lateness counts."""


@dataclass(eq=False, slots=True)
class Placed:
    """A job with its turns at one bench."""

    job: JobToDo
    bench: Bench
    turns: tuple[Turn, ...]
    release: int
    rank: int = -1

    @property
    def ready(self) -> int:
        """The time by the clock at which everything is done, dry and cured."""
        return max((self.bench.cured_at(turn) for turn in self.turns), default=self.release)

    @property
    def times(self) -> tuple[tuple[int, int], ...]:
        """When each step begins and is over, by the clock."""
        hours = self.bench.hours
        return tuple((hours.begins(turn.start), hours.over_at(turn.start, turn.end)) for turn in self.turns)

    def take_rank(self, rank: int) -> None:
        """Take a place in the order; its steps stand in it as they come."""
        self.rank = rank
        for number, turn in enumerate(self.turns):
            turn.rank = rank * STEPS + number

    def find_turns(self) -> None:
        """Let each step begin as early as what is more pressing leaves it room; none is in the row yet."""
        bench = self.bench
        released = bench.hours.at(self.release)
        own: list[Turn] = []
        for turn in self.turns:
            start = max(released, bench.cured_from(turn))
            turn.begin(bench.room(start, turn.minutes, turn.rank))
            while clash := [one.end for one in own if one.start < turn.end and turn.start < one.end]:
                turn.begin(bench.room(max(clash), turn.minutes, turn.rank))
            own.append(turn)

    def put_turns(self, moved: Moved | None) -> None:
        """Put all its turns into the row; what is done in passing interrupts nothing, and may begin later."""
        bench, in_passing = self.bench, False
        for turn in self.turns:
            in_passing = in_passing or not turn.minutes
            if in_passing:
                start = max(turn.start, bench.cured_from(turn))
                turn.begin(bench.room(start, turn.minutes, turn.rank if turn.minutes else NEVER))
            put(turn, bench, moved)


class Line:
    """The jobs in their order."""

    def __init__(self, benches: Sequence[Bench]) -> None:
        self._benches = benches
        self.order: list[Placed] = []

    def put_in(self, new: New, benches: Sequence[Bench], *, spare_lateness: bool) -> None:
        """Put a job in where its key says, or as near by as less comes late; with whoever of those given has
        it ready first."""
        ways = [_at(bench, new) for bench in benches]
        by_key = bisect_left(self.order, new.rank, key=RANK)
        place = self._sparing(ways, new.rank, by_key) if spare_lateness else by_key
        self._put(ways, new.rank, by_key, place)

    def _sparing(self, ways: Sequence[Placed], rank: int, by_key: int) -> int:
        """The place in the order, near that by its key, where the least comes late by it."""
        least, best = self._cost(ways, rank, by_key, by_key), by_key
        if not least:
            return best
        begun = sum(bool(one.job.taken_by) for one in self.order)
        low, high = (0, begun) if ways[0].job.taken_by else (begun, len(self.order))
        for place in range(max(low, by_key - LOOK), min(high, by_key + LOOK) + 1):
            if place != by_key and (cost := self._cost(ways, rank, by_key, place)) < least:
                least, best = cost, place
        return best

    def _cost(self, ways: Sequence[Placed], rank: int, by_key: int, place: int) -> int:
        """What comes late by a job if it is put in at a place in the order; tried and undone."""
        rows = [bench.row.copy() for bench in self._benches]
        ranks = [(one, one.rank) for one in self.order[min(by_key, place) : max(by_key, place)]]
        moved: Moved = []
        new = self._put(ways, rank, by_key, place, moved)
        cost = sum(turn.lateness(turn.start) for turn in new.turns)
        for turn, start in reversed(moved):
            cost += turn.lateness(turn.start) - turn.lateness(start)
            turn.begin(start)
        for bench, row in zip(self._benches, rows, strict=True):
            bench.row = row
        for one, its_rank in ranks:
            one.take_rank(its_rank)
        del self.order[place]
        return cost

    def _put(
        self, ways: Sequence[Placed], rank: int, by_key: int, place: int, moved: Moved | None = None
    ) -> Placed:
        """Put a job in at a place in the order; those that it passes move one up or down."""
        passed = self.order[min(by_key, place) : max(by_key, place)]
        ranks = sorted((rank, *(one.rank for one in passed)))
        own = ranks.pop(0 if place < by_key else -1)
        for one, its_rank in zip(passed, ranks, strict=True):
            one.take_rank(its_rank)
        for way in ways:
            way.take_rank(own)
            way.find_turns()
        new = min(ways, key=lambda way: (way.ready, way.times)) if len(ways) > 1 else ways[0]
        new.put_turns(moved)
        self.order.insert(place, new)
        return new


def _at(bench: Bench, new: New) -> Placed:
    """A job as one bench would work it."""
    turns: dict[str, Turn] = {}
    for step in new.job.steps:
        after = tuple([turns[name] for name in step.after])
        turns[step.name] = turn = Turn(
            minutes=step.minutes,
            wait_minutes=step.wait_minutes,
            apart=bench.most_within(step.wait_minutes),
            allowed=bench.hours.over_by(new.due - step.wait_minutes),
            weight=new.weight,
            after=after,
        )
        for before in after:
            before.followers.append(turn)
            before.weight = 0
    return Placed(new.job, bench, tuple(turns.values()), new.release)
