"""One person's bench in a plan: the row of steps that have their turn there, and where one still fits.

All in bench minutes, whole ones, counted through all the days that this person works (`people.Hours`).
"""

from bisect import bisect_left
from dataclasses import dataclass, field
from operator import attrgetter

from shoprepair.work.people import DAY, Hours

NEVER = 1 << 62
"""Past every bench minute, and less pressing than everything."""
START, RANK = attrgetter("start"), attrgetter("rank")


@dataclass(eq=False, slots=True)
class Turn:
    """One step's turn at a bench."""

    minutes: int
    wait_minutes: int
    """Drying or curing before anything that comes after, by the clock on the wall."""
    weight: int
    """How many times each minute counts by which it is late; 0 where others come after it."""
    after: tuple["Turn", ...] = ()
    followers: list["Turn"] = field(default_factory=list)
    rank: int = 0
    """Where it stands in the order: what is more pressing has the lower one."""
    apart: int = 0
    """Bench minutes in which so much time as it must wait goes by for sure, wherever they lie."""
    allowed: int = 0
    """The bench minute at which it must be over so that its job is not late."""
    start: int = 0
    end: int = 0

    def begin(self, at: int) -> None:
        """Have its turn from this bench minute on."""
        self.start = at
        self.end = at + self.minutes

    @property
    def lateness(self) -> int:
        """What it counts as late."""
        return self.weight * max(0, self.end - self.allowed)

    def later_by(self, minutes: int) -> int:
        """What it counts as late of so many minutes by which it has moved back."""
        late = self.end - self.allowed
        return self.weight * min(late, minutes) if late > 0 else 0


class Bench:
    """The turns of one person, in a row by time; no two overlap."""

    def __init__(self, hours: Hours) -> None:
        self.hours = hours
        self.row: list[Turn] = []
        self.furthest = 0
        """The most bench minutes that any of its turns keeps those after it apart."""

    def room(self, earliest: int, minutes: int, rank: int, place: int | None = None) -> int:
        """The first bench minute from which so many are free of anything more pressing.

        place: where in the row to look from, where that is known.
        """
        row, start, end = self.row, earliest, earliest + minutes
        if place is None:
            place = max(0, bisect_left(row, earliest, key=START) - 1)
        for number in range(place, len(row)):
            turn = row[number]
            if turn.start >= end:
                break
            if turn.rank < rank and turn.end > start:
                start = turn.end
                end = start + minutes
        return start

    def is_cured(self, turn: Turn, at: int) -> bool:
        """Whether all that it comes after is done, dry and cured if it begins at this bench minute."""
        for before in turn.after:
            # Only where few minutes lie between does it matter whether a night or a weekend does too.
            if at - before.end < before.apart and self.hours.begins(at) < self.cured_at(before):
                return False
        return True

    def cured_from(self, turn: Turn) -> int:
        """The first bench minute at which all that it comes after, if anything, is done, dry and cured."""
        if not turn.after:
            return 0
        return self.hours.at(max([self.cured_at(before) for before in turn.after]))

    def cured_at(self, turn: Turn) -> int:
        """The time by the clock at which it is done, dry and cured."""
        return self.hours.over_at(turn.start, turn.end) + turn.wait_minutes

    def most_within(self, minutes: int) -> int:
        """The most bench minutes that can lie within so many by the clock."""
        days, rest = divmod(minutes, DAY)
        return days * self.hours.longest + min(rest, self.hours.longest)
