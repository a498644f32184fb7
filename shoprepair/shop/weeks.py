"""Weeks as ISO 8601 counts them, Monday to Sunday, by the shop's clock.

A week of money or bench time has a number, on its page and in its address, and only ISO weeks have one that
means the same to a bookkeeper everywhere: they run from Monday in every shop, and say so in their words. With
which day the days of a week are listed is the shop's own: `weekdays`.
"""

import datetime
import re
from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.shop.models import Shop

_WRITTEN = re.compile(r"([12][0-9]{3})-w([0-9]{2})")
_WEEK = datetime.timedelta(weeks=1)


@dataclass(frozen=True, slots=True, order=True)
class IsoWeek:
    """One week. Raises ValueError for a week that its year does not have."""

    year: int
    """Of the week's Thursday: the week of 1 January may belong to the year before."""
    number: int

    def __post_init__(self) -> None:
        datetime.date.fromisocalendar(self.year, self.number, 7)

    def __str__(self) -> str:
        """'2026-w05', as an address has it."""
        return f"{self.year}-w{self.number:02d}"

    @classmethod
    def of(cls, when: datetime.date | datetime.datetime) -> "IsoWeek":
        """The week of a day, or of a moment by the clock of the time zone in force."""
        day = timezone.localtime(when).date() if isinstance(when, datetime.datetime) else when
        year, number, _ = day.isocalendar()
        return cls(year, number)

    @classmethod
    def read(cls, written: str) -> "IsoWeek":
        """The week of an address. Raises ValueError for anything else."""
        match = _WRITTEN.fullmatch(written)
        if match is None:
            raise ValueError(
                gettext("%(written)s is no week; write 2026-w05.") % {"written": f"{written!r:}"}
            )
        return cls(int(match[1]), int(match[2]))

    @property
    def first_day(self) -> datetime.date:
        """Its Monday."""
        return datetime.date.fromisocalendar(self.year, self.number, 1)

    @property
    def last_day(self) -> datetime.date:
        """Its Sunday."""
        return datetime.date.fromisocalendar(self.year, self.number, 7)

    @property
    def days(self) -> list[datetime.date]:
        return [self.first_day + datetime.timedelta(days=day) for day in range(7)]

    @property
    def begins(self) -> datetime.datetime:
        """Midnight before its Monday, in the time zone in force."""
        return midnight(self.first_day)

    @property
    def ends(self) -> datetime.datetime:
        """Midnight after its Sunday; an hour nearer or farther where the clocks change in it."""
        return midnight(self.last_day + datetime.timedelta(days=1))

    def back(self, weeks: int) -> "IsoWeek":
        """The week so many before it; after it where that is below nought."""
        return IsoWeek.of(self.first_day - weeks * _WEEK)

    @property
    def words(self) -> str:
        """'Mon 23 to Sun 29 Nov'."""
        first, last = self.first_day, self.last_day
        return gettext("%(first)s to %(last)s") % {
            "first": date_format(first, "D j" if first.month == last.month else "D j M"),
            "last": date_format(last, "D j M"),
        }


def up_to(last: IsoWeek, count: int) -> list[IsoWeek]:
    """So many weeks in a row, the last one of them last."""
    return [last.back(weeks) for weeks in range(count - 1, -1, -1)]


def weekdays(shop: Shop) -> list[int]:
    """The numbers of the weekdays, Monday 0, in the order in which the shop's week runs."""
    return [(shop.week_begins + ahead) % 7 for ahead in range(7)]


def midnight(day: datetime.date) -> datetime.datetime:
    """The moment at which a day begins, in the time zone in force."""
    return timezone.make_aware(datetime.datetime.combine(day, datetime.time.min))
