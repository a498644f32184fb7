"""Which backups stay: seven days, four weeks and twelve months back, the newest of each."""

from collections.abc import Callable, Iterable
from datetime import datetime

DAYS, WEEKS, MONTHS = 7, 4, 12
_SPANS: tuple[tuple[int, Callable[[datetime], object]], ...] = (
    (DAYS, lambda at: at.date()),
    (WEEKS, lambda at: at.isocalendar()[:2]),
    (MONTHS, lambda at: (at.year, at.month)),
)


def kept(moments: Iterable[datetime]) -> set[datetime]:
    """Those of these moments whose backup stays.

    Counted are the days, weeks and months that have a backup, so that a shop which was closed for a
    season still has its last ones. A clock that was wrong once makes nothing go sooner than others.
    """
    newest_first = sorted(moments, reverse=True)
    stay: set[datetime] = set()
    for most, span in _SPANS:
        seen: dict[object, datetime] = {}
        for at in newest_first:
            seen.setdefault(span(at), at)
        stay.update(list(seen.values())[:most])
    return stay
