"""One person's bench in a plan: which minutes are taken, and where a step still fits in one piece."""

from bisect import bisect_left, bisect_right

from shoprepair.work.people import Hours


class Bench:
    """The taken bench minutes of one person, as stretches that do not touch."""

    def __init__(self, hours: Hours, starts: list[int] | None = None, ends: list[int] | None = None) -> None:
        self.hours = hours
        self._starts = starts or []
        self._ends = ends or []

    def copy(self) -> "Bench":
        """To try something out."""
        return Bench(self.hours, self._starts.copy(), self._ends.copy())

    def free_from(self, earliest: int, minutes: int) -> int:
        """The first bench minute, not before the earliest, from which so many are free in a row."""
        at = bisect_right(self._ends, earliest)
        start = earliest
        while at < len(self._starts) and self._starts[at] < start + minutes:
            start = max(start, self._ends[at])
            at += 1
        return start

    def take(self, start: int, minutes: int) -> None:
        """Take free minutes."""
        if not minutes:
            return
        end = start + minutes
        at = bisect_left(self._starts, start)
        joins_before = at > 0 and self._ends[at - 1] == start
        joins_after = at < len(self._starts) and self._starts[at] == end
        if joins_before and joins_after:
            self._ends[at - 1] = self._ends.pop(at)
            del self._starts[at]
        elif joins_before:
            self._ends[at - 1] = end
        elif joins_after:
            self._starts[at] = start
        else:
            self._starts.insert(at, start)
            self._ends.insert(at, end)
