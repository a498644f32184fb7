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


@dataclass(eq=False, slots=True)
class Placed:
    """A job with the turns that its steps have at one bench."""

    job: JobToDo
    rank: int
    """Its place in the order."""
    release: int
    """The time by the clock from which anything can be done on it."""
    due: int
    """The time by the clock past which it is late."""
    turns: tuple[Turn, ...]
    bench: Bench | None = None

    @property
    def ready(self) -> int:
        """The time by the clock at which everything is done, dry and cured."""
        assert self.bench
        return max([self.bench.cured_at(turn) for turn in self.turns], default=self.release)

    def take_rank(self, rank: int) -> None:
        """Take a place in the order; its steps stand in it as they come."""
        self.rank = rank
        for number, turn in enumerate(self.turns):
            turn.rank = rank * STEPS + number

    def find_turns(self, bench: Bench, before: int = NEVER) -> int:
        """Let each step begin as early as what is more pressing leaves it room; none is in the row yet.

        Answers when everything is ready, by the clock. Where that is not before a time there is nothing to
        be had here: then it answers NEVER, and the turns are those of nobody.
        """
        self.bench = bench
        released = bench.hours.at(self.release)
        cured: dict[Turn, int] = {}
        for turn in self.turns:
            start = released
            if turn.after:
                start = max(start, bench.hours.at(max([cured[one] for one in turn.after])))
            turn.begin(bench.room(start, turn.minutes, turn.rank))
            while cured and (
                clash := [one.end for one in cured if one.start < turn.end and turn.start < one.end]
            ):
                turn.begin(bench.room(max(clash), turn.minutes, turn.rank))
            cured[turn] = over = bench.cured_at(turn)
            if over >= before:
                return NEVER
        return max(cured.values(), default=self.release)

    def put_turns(self, moved: Moved | None) -> None:
        """Put all its turns into the row; what is done in passing interrupts nothing, and may begin later."""
        assert self.bench
        bench, in_passing = self.bench, False
        for turn in self.turns:
            turn.apart = bench.most_within(turn.wait_minutes)
            turn.allowed = bench.hours.over_by(self.due - turn.wait_minutes)
            in_passing = in_passing or not turn.minutes
            if in_passing:
                start = max(turn.start, bench.cured_from(turn))
                turn.begin(bench.room(start, turn.minutes, turn.rank if turn.minutes else NEVER))
            put(turn, bench, moved)


class Line:
    """The jobs in their order."""

    def __init__(self) -> None:
        self.order: list[Placed] = []

    def put_in(self, new: Placed, benches: Sequence[Bench], *, spare_lateness: bool) -> None:
        """Put a job in at its place in the order, or as near by as less comes late; with whoever of those
        given has it ready first."""
        place = by_key = bisect_left(self.order, new.rank, key=RANK)
        if spare_lateness:
            place = self._sparing(new, benches, by_key)
        self._put(new, benches, by_key, place)

    def _sparing(self, new: Placed, benches: Sequence[Bench], by_key: int) -> int:
        """The place in the order, near that by its key, where the least comes late by it."""
        least, best = self._cost(new, benches, by_key, by_key), by_key
        if not least:
            return best
        begun = sum(bool(one.job.taken_by) for one in self.order)
        low, high = (0, begun) if new.job.taken_by else (begun, len(self.order))
        for place in range(max(low, by_key - LOOK), min(high, by_key + LOOK) + 1):
            if place != by_key and (cost := self._cost(new, benches, by_key, place)) < least:
                least, best = cost, place
        return best

    def _cost(self, new: Placed, benches: Sequence[Bench], by_key: int, place: int) -> int:
        """What comes late by a job if it is put in at a place in the order; tried and undone."""
        rows = [bench.row.copy() for bench in benches]
        ranks = [(one, one.rank) for one in (new, *self._passed(by_key, place))]
        moved: Moved = []
        self._put(new, benches, by_key, place, moved)
        cost = sum([turn.lateness for turn in new.turns])
        for turn, start in reversed(moved):
            cost += turn.later_by(turn.start - start)
            turn.begin(start)
        for bench, row in zip(benches, rows, strict=True):
            bench.row = row
        for one, rank in ranks:
            one.take_rank(rank)
        del self.order[place]
        return cost

    def _put(
        self, new: Placed, benches: Sequence[Bench], by_key: int, place: int, moved: Moved | None = None
    ) -> None:
        """Put a job in at a place in the order; those that it passes move one up or down."""
        passed = self._passed(by_key, place)
        line = [new, *passed] if place < by_key else [*passed, new]
        for one, rank in zip(line, sorted([one.rank for one in line]), strict=True):
            one.take_rank(rank)
        _give_to_soonest(new, benches)
        new.put_turns(moved)
        self.order.insert(place, new)

    def _passed(self, by_key: int, place: int) -> list[Placed]:
        return self.order[min(by_key, place) : max(by_key, place)]


def _give_to_soonest(new: Placed, benches: Sequence[Bench]) -> None:
    """To whoever has it ready first, and of those alike to whoever is named first."""
    if len(benches) == 1:
        new.find_turns(benches[0])
        return
    first, best, starts = NEVER, benches[0], []
    for bench in benches:
        if (ready := new.find_turns(bench, first)) < first:
            first, best, starts = ready, bench, [turn.start for turn in new.turns]
    new.bench = best
    for turn, start in zip(new.turns, starts, strict=True):
        turn.begin(start)


def entering(job: JobToDo, *, rank: int, release: int, due: int, weight: int) -> Placed:
    """A job that is about to be put in; it has no bench yet.

    rank: its place among all jobs by their keys. release, due: times by the clock from which it can be worked
    and past which it is late. weight: how many times each minute counts by which it is late.
    """
    turns: dict[str, Turn] = {}
    for step in job.steps:
        after = tuple([turns[name] for name in step.after])
        turns[step.name] = turn = Turn(step.minutes, step.wait_minutes, weight, after)
        for before in after:
            before.followers.append(turn)
            before.weight = 0
    return Placed(job, rank, release, due, tuple(turns.values()))
