"""Bench hours of one week: what each person has, what timers ran for, and what is still free."""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Q
from django.utils import timezone

from shoprepair.shop.weeks import IsoWeek, midnight
from shoprepair.work import to_do
from shoprepair.work.models import Stint
from shoprepair.work.people import Person

MINUTE = datetime.timedelta(minutes=1)
TENTH = Decimal("0.1")
NOUGHT = Decimal("0.0")


@dataclass(frozen=True, slots=True)
class Timed:
    """What of a stint falls into the week."""

    stint: Stint
    minutes: Decimal
    runs: bool
    """Whether it is still running."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """One person's week, in minutes."""

    who: str
    bench: Decimal
    """At the bench in this week, less holidays."""
    used: Decimal
    """Timers ran for so long."""
    ahead: Decimal
    """Of what is at the bench, still to come from now on."""
    timed: tuple[Timed, ...] = ()

    @property
    def free(self) -> Decimal:
        """At the bench, and no timer ran: gone by, or still to come."""
        return max(self.bench - self.used, NOUGHT)

    @property
    def over(self) -> Decimal:
        """Worked beyond what was at the bench."""
        return max(self.used - self.bench, NOUGHT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Everybody's week, in minutes."""

    bench: Decimal
    used: Decimal
    free: Decimal
    over: Decimal
    ahead: Decimal


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
            used=total(each.minutes for each in timed[name]),
            ahead=_ahead(people.get(name), week, closed, now),
            timed=tuple(timed[name]),
        )
        for name in sorted({*people, *timed}, key=str.casefold)
    ]
    return [each for each in found if each.bench or each.timed]


def together(everybody: Sequence[Used]) -> Together:
    """The whole shop's week: sums, so that one person's overtime takes nothing of what another has free."""
    return Together(
        **{name: total(getattr(each, name) for each in everybody) for name in Together.__dataclass_fields__}
    )


def total(minutes: Iterable[Decimal]) -> Decimal:
    return sum(minutes, NOUGHT)


def _stints(week: IsoWeek) -> Iterable[Stint]:
    begun = Q(began_at__lt=week.ends)
    not_over = Q(ended_at=None) | Q(ended_at__gt=week.begins)
    return (
        Stint.objects.filter(begun & not_over)
        .select_related("who", "step", "job__customer", "job__inflatable__pattern")
        .order_by("began_at", "id")
    )


def _in_week(stint: Stint, week: IsoWeek, now: datetime.datetime) -> Timed:
    begins = max(stint.began_at, week.begins)
    ends = min(stint.ended_at or now, week.ends)
    return Timed(stint, _minutes(max(ends - begins, 0 * MINUTE)), stint.ended_at is None)


def _minutes(spent: datetime.timedelta) -> Decimal:
    return (Decimal(int(spent.total_seconds())) / 60).quantize(TENTH)


def _bench(person: Person | None, week: IsoWeek, closed: frozenset[datetime.date]) -> Decimal:
    if person is None:
        return NOUGHT
    return total(Decimal(_on(person, day, closed)) for day in week.days)


def _on(person: Person, day: datetime.date, closed: frozenset[datetime.date]) -> int:
    return 0 if day in closed or day in person.away else person.minutes[day.weekday()]


def _ahead(
    person: Person | None, week: IsoWeek, closed: frozenset[datetime.date], now: datetime.datetime
) -> Decimal:
    if person is None:
        return NOUGHT
    today = timezone.localtime(now).date()
    later = total(Decimal(_on(person, day, closed)) for day in week.days if day > today)
    rest = _rest_of_today(person, _on(person, today, closed), now) if today in week.days else NOUGHT
    return later + rest


def _rest_of_today(person: Person, minutes: int, now: datetime.datetime) -> Decimal:
    opens = midnight(timezone.localtime(now).date()) + person.opens * MINUTE
    gone = max(_minutes(max(now - opens, 0 * MINUTE)), NOUGHT)
    return max(Decimal(minutes) - gone, NOUGHT)
