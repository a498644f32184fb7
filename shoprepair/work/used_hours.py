"""Bench hours of one week: what each person has, what timers ran for, and what of them is still to come."""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Q
from django.utils import timezone

from shoprepair.shop.weeks import IsoWeek, midnight
from shoprepair.work import to_do
from shoprepair.work.models import Stint
from shoprepair.work.people import Person

MINUTE = datetime.timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Timed:
    """What of a stint falls into the week."""

    stint: Stint
    minutes: int
    runs: bool
    """Whether it is still running."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """One person's week, in minutes."""

    who: str
    bench: int
    """At the bench in this week, less holidays."""
    used: int
    """Timers ran for so long."""
    free: int
    """Of what is at the bench, still to come from now on: an hour that has gone by is nobody's to give."""
    timed: tuple[Timed, ...] = ()

    @property
    def untimed(self) -> int:
        """Of what is at the bench, gone by while no timer ran."""
        return max(self.bench - self.free - self.used, 0)

    @property
    def over(self) -> int:
        """Worked beyond what was at the bench."""
        return max(self.used - self.bench, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Everybody's week, in minutes."""

    bench: int
    used: int
    free: int
    untimed: int
    over: int


def of_week(week: IsoWeek, now: datetime.datetime) -> list[Used]:
    """Everybody who has bench hours in the week, or worked in it, by name; in five statements.

    Hours that changed meanwhile are taken as they are entered now.
    """
    timed: dict[str, list[Timed]] = defaultdict(list)
    for stint in _stints(week):
        timed[to_do.name_of(stint.who)].append(_in_week(stint, week, now))
    people = {person.name: person for person in to_do.people()}
    closed = to_do.closed_days()
    found = [
        Used(
            who=name,
            bench=_bench(people.get(name), week, closed),
            used=sum(each.minutes for each in timed[name]),
            free=_free(people.get(name), week, closed, now),
            timed=tuple(timed[name]),
        )
        for name in sorted({*people, *timed}, key=str.casefold)
    ]
    return [each for each in found if each.bench or each.timed]


def together(everybody: Sequence[Used]) -> Together:
    """The whole shop's week: sums, so that one person's overtime takes nothing of what another has free."""
    return Together(
        **{name: sum(getattr(each, name) for each in everybody) for name in Together.__dataclass_fields__}
    )


def _stints(week: IsoWeek) -> Iterable[Stint]:
    begun = Q(began_at__lt=week.ends)
    not_over = Q(ended_at=None) | Q(ended_at__gt=week.begins)
    return (
        Stint.objects.filter(begun & not_over)
        .select_related("who", "step", "job__customer", "job__inflatable__pattern")
        .order_by("began_at", "id")
    )


def _in_week(stint: Stint, week: IsoWeek, now: datetime.datetime) -> Timed:
    """By the clock's whole minutes, so that stints that follow one another add up to the whole."""
    begins = _on_the_minute(max(stint.began_at, week.begins))
    ends = _on_the_minute(min(stint.ended_at or now, week.ends))
    return Timed(stint, max(ends - begins, 0 * MINUTE) // MINUTE, stint.ended_at is None)


def _on_the_minute(at: datetime.datetime) -> datetime.datetime:
    return at.replace(second=0, microsecond=0)


def _bench(person: Person | None, week: IsoWeek, closed: frozenset[datetime.date]) -> int:
    if person is None:
        return 0
    return sum(_on(person, day, closed) for day in week.days)


def _on(person: Person, day: datetime.date, closed: frozenset[datetime.date]) -> int:
    return 0 if day in closed or day in person.away else person.minutes[day.weekday()]


def _free(
    person: Person | None, week: IsoWeek, closed: frozenset[datetime.date], now: datetime.datetime
) -> int:
    if person is None:
        return 0
    today = timezone.localtime(now).date()
    later = sum(_on(person, day, closed) for day in week.days if day > today)
    rest = _rest_of_today(person, _on(person, today, closed), now) if today in week.days else 0
    return later + rest


def _rest_of_today(person: Person, minutes: int, now: datetime.datetime) -> int:
    opens = midnight(timezone.localtime(now).date()) + person.opens * MINUTE
    gone = max(now - opens, 0 * MINUTE) // MINUTE
    return max(minutes - gone, 0)
