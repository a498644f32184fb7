"""How the row of one bench makes way for a step that is put in.

What is more pressing stays to the minute. The rest moves back in the row as it stands, each as little as it
must: free minutes in the row take that up, and behind them nothing moves. Where something more pressing
stands in the way it goes on behind that; where what it comes after is not cured it lets others by until
then. Nothing ever moves forward.
"""

from bisect import bisect_left

from shoprepair.work.bench import NEVER, RANK, START, Bench, Turn

Moved = list[tuple[Turn, int]]
"""What has moved, one after the other, and where it began before."""


def put(turn: Turn, bench: Bench, moved: Moved | None = None) -> None:
    """Put a turn into the row at its start, where nothing more pressing stands; the rest makes way."""
    row, start = bench.row, turn.start
    place = bisect_left(row, start, key=START)
    while place < len(row) and row[place].end <= start and row[place].rank < turn.rank:
        place += 1  # done in passing at the same minute
    if place and row[place - 1].end > start:
        place -= 1  # it reaches over that minute, so it is less pressing
    row.insert(place, turn)
    bench.furthest = max(bench.furthest, turn.apart)
    if place + 1 < len(row) and row[place + 1].start < turn.end:
        _MakingWay(bench, place + 1, turn, moved).go()


class _MakingWay:
    """Goes through the row once, from what was put in to where nothing moves any more."""

    def __init__(self, bench: Bench, place: int, put_in: Turn, moved: Moved | None) -> None:
        self.bench = bench
        self.row = bench.row
        self.first = self.next = place
        """Where it began, and the place that it has come to."""
        self.rank = put_in.rank
        self.free = put_in.end
        """The minute from which the bench is free again."""
        self.moved = moved
        self.new: list[Turn] = []
        """The row from the first place up to the next one, as it will be."""
        self.waiting: list[Turn] = []
        """What has left its place in the row. It comes back at its start, as far as that is known by now."""
        self.soon = NEVER
        """The earliest start of what waits."""

    def go(self) -> None:
        row = self.row
        while True:
            self._push()
            turn = row[self.next] if self.next < len(row) else None
            by_now = self.free if turn is None else min(self.free, turn.start)
            if self.soon <= by_now:
                self._bring_back(by_now)
            elif turn is None or turn.start >= self.free:
                if not self._go_on():
                    break
            elif turn.rank < self.rank:
                self._go_behind(turn)
            else:
                self.next += 1
                self._let_wait(turn, max(turn.start, self.bench.cured_from(turn)))
        row[self.first : self.next] = self.new

    def _push(self) -> None:
        """Each moves back behind the one before it, until something is in the way or nothing is pushed."""
        row, rank, free, soon, moved = self.row, self.rank, self.free, self.soon, self.moved
        waiting, place = self.waiting, self.next
        for place in range(self.next, len(row)):
            turn = row[place]
            start = turn.start
            if start >= free or turn.rank < rank or soon <= start:
                break
            after = turn.after
            # Mostly it comes after one step, which is over for long enough: then there is no more to ask.
            ask = after and (waiting or len(after) > 1 or free - after[0].end < after[0].apart)
            if ask and not self._can_begin(turn, free):
                break
            if moved is not None:
                moved.append((turn, start))
            turn.start = free
            turn.end = free = free + turn.minutes
        else:
            place = len(row)
        self.new += row[self.next : place]
        self.next = place
        self.free = free

    def _can_begin(self, turn: Turn, at: int) -> bool:
        """Whether all that it comes after is in its place and cured at this minute."""
        if self.waiting:
            for before in turn.after:
                if before in self.waiting:
                    return False
        return self.bench.is_cured(turn, at)

    def _bring_back(self, by_now: int) -> None:
        """The most pressing of what waited until now comes back, if there is room for it."""
        turn = min([one for one in self.waiting if one.start <= by_now], key=RANK)
        if self.bench.is_cured(turn, self.free):
            start = self.bench.room(self.free, turn.minutes, self.rank, self.next)
        else:
            start = self.bench.cured_from(turn)
        if start > self.free:
            self._delay(turn, start)
            return
        self.waiting.remove(turn)
        self.soon = min([one.start for one in self.waiting], default=NEVER)
        turn.begin(self.free)
        self.free = turn.end
        self.new.append(turn)

    def _go_on(self) -> bool:
        """Nothing is pushed at this place: go on where the next that waits comes back; False if none does."""
        self._look_ahead()
        if not self.waiting:
            return False
        place = bisect_left(self.row, self.soon, self.next, key=START)
        self.new += self.row[self.next : place]
        self.next = place
        self.free = max(self.soon, self.new[-1].end if self.new else 0)
        return True

    def _go_behind(self, pressing: Turn) -> None:
        """What overlaps with a more pressing turn goes behind that."""
        self.next += 1
        self.free = pressing.end
        behind = []
        while self.new and self.new[-1].end > pressing.start:
            behind.append(self.new.pop())
        self.new.append(pressing)
        for turn in reversed(behind):
            start = self.bench.room(max(turn.start, self.free), turn.minutes, self.rank, self.next)
            if start > self.free or not self._can_begin(turn, start):
                self._let_wait(turn, start)
            else:
                turn.begin(start)
                self.free = turn.end
                self.new.append(turn)

    def _look_ahead(self) -> None:
        """What stands further back, but comes after something that moved too near to it, must wait too."""
        if self.next == len(self.row):
            return
        edge = self.row[self.next].start
        followers = [after for turn in self.waiting for after in turn.followers]
        near = edge - self.bench.furthest
        for turn in reversed(self.new):
            if turn.end <= near:
                break
            if turn.followers:
                followers += turn.followers
        for turn in followers:
            if turn.start < edge or turn in self.waiting or self.bench.is_cured(turn, turn.start):
                continue
            if self._took_out(turn):
                self._let_wait(turn, self.bench.cured_from(turn))
                followers += turn.followers

    def _took_out(self, turn: Turn) -> bool:
        """Whether it stood in the row: a step of the job that is being put in may only come to it."""
        row = self.row
        place = bisect_left(row, turn.start, self.next, key=START)
        while place < len(row) and row[place].start == turn.start:
            if row[place] is turn:
                del row[place]
                return True
            place += 1
        if turn in self.new:
            self.new.remove(turn)  # what takes no time came back at this very minute
            return True
        return False

    def _let_wait(self, turn: Turn, start: int) -> None:
        if self.moved is not None:
            self.moved.append((turn, turn.start))
        self.waiting.append(turn)
        self._delay(turn, start)

    def _delay(self, turn: Turn, start: int) -> None:
        """What waits comes back later than was known, and so does what waits for it."""
        turn.begin(start)
        for after in turn.followers:
            if after in self.waiting and (cured := self.bench.cured_from(after)) > after.start:
                self._delay(after, cured)
        self.soon = min([one.start for one in self.waiting])
