"""Who works at the bench and when: a person's bench minutes, strung together over days and holidays.

Times are minutes by the clock on the wall, counted from midnight before the plan's first day, 1440 a day.
Bench minutes count only what a person works: minute 0 is the first one of the plan.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext

from shoprepair.mechanics.domain import need

DAY = 24 * 60
NINE = 9 * 60


@dataclass(frozen=True, kw_only=True, slots=True)
class Person:
    """Someone who repairs."""

    name: str
    minutes: tuple[int, ...]
    """At the bench each weekday, Monday first."""
    away: frozenset[date] = frozenset()
    opens: int = NINE
    """Minute of the day at which the bench work begins."""

    @property
    def works(self) -> bool:
        """Whether there is any bench time in a week."""
        return any(self.minutes)


def check_people(people: tuple[Person, ...]) -> None:
    """Raise ValueError with one sentence unless somebody works, and everybody within the day."""
    need(
        any(person.works for person in people),
        gettext("Nobody has bench minutes: enter them for at least one person."),
    )
    names = [person.name for person in people]
    need(len(set(names)) == len(names), gettext("Two people at the bench have the same name."))
    for person in people:
        need(
            len(person.minutes) == 7,
            gettext("%(name)s needs bench minutes for seven weekdays, Monday first.") % {"name": person.name},
        )
        need(
            all(0 <= minutes <= DAY - person.opens for minutes in person.minutes) and 0 <= person.opens < DAY,
            gettext("The bench minutes of %(name)s do not fit into a day.") % {"name": person.name},
        )


class Hours:
    """The working days of one person from a first day on, found as far ahead as anybody asks."""

    def __init__(self, person: Person, first_day: date, holidays: frozenset[date]) -> None:
        self.longest = max(person.minutes)
        """Bench minutes of the longest day."""
        self._person = person
        self._free = holidays | person.away
        self._first_day = first_day
        self._day = 0
        self._opens: list[int] = []
        self._closes: list[int] = []
        self._counts: list[int] = []
        self._total = 0

    def at(self, clock: int) -> int:
        """The first bench minute that begins at or after a time."""
        while not self._closes or self._closes[-1] <= clock:
            self._find_next_day()
        day = bisect_right(self._closes, clock)
        return self._counts[day] + max(0, clock - self._opens[day])

    def done_by(self, clock: int) -> int:
        """How many bench minutes must be over so that it is at least this time."""
        while not self._closes or self._closes[-1] < clock:
            self._find_next_day()
        day = bisect_left(self._closes, clock)
        return self._counts[day] + max(1, clock - self._opens[day])

    def begins(self, minute: int) -> int:
        """Time at which a bench minute begins."""
        while self._total <= minute:
            self._find_next_day()
        day = bisect_right(self._counts, minute) - 1
        return self._opens[day] + minute - self._counts[day]

    def over_by(self, clock: int) -> int:
        """How many bench minutes are over at a time."""
        while not self._closes or self._closes[-1] < clock:
            self._find_next_day()
        day = bisect_right(self._opens, clock) - 1
        return self._counts[day] + min(clock, self._closes[day]) - self._opens[day] if day >= 0 else 0

    def over_at(self, start: int, end: int) -> int:
        """Time at which the bench minutes from start up to end are over; where there are none, begin."""
        return self.begins(end - 1) + 1 if end > start else self.begins(start)

    def pieces(self, start: int, end: int) -> Iterator[tuple[int, int]]:
        """From when to when, day by day, the bench minutes from start up to end are worked."""
        while start < end:
            opens = self.begins(start)
            closes = min(self._closes[bisect_right(self._counts, start) - 1], opens + end - start)
            yield opens, closes
            start += closes - opens

    def _find_next_day(self) -> None:
        while True:
            day, self._day = self._day, self._day + 1
            on = self._first_day + timedelta(days=day)
            minutes = 0 if on in self._free else self._person.minutes[on.weekday()]
            if minutes:
                break
        self._opens.append(day * DAY + self._person.opens)
        self._closes.append(day * DAY + self._person.opens + minutes)
        self._counts.append(self._total)
        self._total += minutes
