"""The life of each repair since it was handed back, read from covers and the claims that were ours."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db.models import OuterRef, Subquery
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.cover import rates, survival
from shoprepair.cover.failing import smallness
from shoprepair.cover.models import Claim, Cover, Ending

DAYS_OF_A_YEAR = 365.25
COLUMNS = ("inflatable_id", "operation", "operation_name", "cloth", "techs", "lots")


@dataclass(frozen=True, slots=True, kw_only=True)
class Life:
    """One covered repair: how long it was watched, and whether a claim that was ours ended it."""

    inflatable: int
    operation: str
    cloth: str
    techs: tuple[str, ...]
    lots: tuple[str, ...]
    years: float
    failed: bool
    standing: bool
    """Whether its cover still stands."""
    left: float
    """Years that its cover still has to run, at most one."""


def lives(now: datetime | None = None) -> list[Life]:
    """Every covered repair, in one statement.

    A life ends with the first damage that was found to be ours. It is watched no longer from the end of its
    cover, or from today. Repairs whose hand-back was taken back never went out, so they are no lives.
    """
    now = now or timezone.now()
    ours = Claim.objects.filter(cover=OuterRef("pk"), decision=Claim.Decision.OURS)
    rows = (
        Cover.objects.exclude(ending__reason=Ending.Reason.NOT_HANDED_BACK)
        .filter(given_at__lte=now)
        .annotate(failed_at=Subquery(ours.order_by("damage__created_at").values("damage__created_at")[:1]))
        .order_by("number")
        .values(*COLUMNS, "given_at", "until", "ending__at", "failed_at")
    )
    # Called as it was called last: an operation that was renamed stays one.
    names = {row["operation"]: row["operation_name"] for row in rows if row["operation"]}
    return [_life(row, names.get(row["operation"], row["operation_name"]), now) for row in rows]


def _life(row: dict[str, Any], operation: str, now: datetime) -> Life:
    years, failed, standing, left = _span(
        row["given_at"], row["until"], row["ending__at"], row["failed_at"], now
    )
    return Life(
        inflatable=row["inflatable_id"],
        operation=operation,
        cloth=row["cloth"],
        techs=tuple(row["techs"]),
        lots=tuple(row["lots"]),
        years=years,
        failed=failed,
        standing=standing,
        left=left,
    )


def _span(
    given_at: datetime,
    until: date | None,
    ended_at: datetime | None,
    failed_at: datetime | None,
    now: datetime,
) -> tuple[float, bool, bool, float]:
    """Years watched, whether it failed, whether its cover stands, and years of it still to come."""
    over = _midnight_after(until) if until else None
    watched = min(moment for moment in (over, ended_at, now) if moment)
    failed = failed_at is not None and failed_at <= watched
    end = failed_at if failed and failed_at else watched
    standing = not failed and ended_at is None and (over is None or over > now)
    left = min(1.0, _years(over - now)) if over else 1.0
    return max(_years(end - given_at), 0.0), failed, standing, left if standing else 0.0


def _midnight_after(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day + timedelta(days=1), time.min))


def _years(span: timedelta) -> float:
    return span.total_seconds() / 86_400 / DAYS_OF_A_YEAR


@dataclass(frozen=True, slots=True)
class Group:
    """Repairs that have something in common."""

    name: str
    lives: tuple[Life, ...]

    @property
    def repairs(self) -> int:
        return len(self.lives)

    @property
    def inflatables(self) -> int:
        return len({life.inflatable for life in self.lives})

    @property
    def years(self) -> float:
        """Years watched, over all of them."""
        return sum(life.years for life in self.lives)

    @property
    def claims(self) -> int:
        return sum(life.failed for life in self.lives)

    @property
    def rate(self) -> rates.Limits:
        """Claims in a repair-year, with exact limits."""
        return rates.exact_limits(self.claims, self.years)

    @property
    def curve(self) -> list[survival.Row]:
        return survival.kaplan_meier(self.durations, [life.failed for life in self.lives])

    @property
    def durations(self) -> list[float]:
        return [life.years for life in self.lives]

    @property
    def small(self) -> bool:
        return smallness.is_small(self.repairs, self.claims)


BY: dict[str, Callable[[Life], Sequence[str]]] = {
    "operation": lambda life: (life.operation,),
    "cloth": lambda life: (life.cloth or gettext("no cloth sewn on"),),
    "tech": lambda life: life.techs or (gettext("nobody noted"),),
    "lot": lambda life: life.lots or (gettext("no lot noted"),),
}
"""What repairs can be told apart by. One done by two people, or from two lots, counts with each."""


def groups(of: Iterable[Life], by: str) -> list[Group]:
    """The repairs told apart by operation, cloth, tech or lot, those with most years watched first."""
    found: dict[str, list[Life]] = defaultdict(list)
    for life in of:
        for name in dict.fromkeys(BY[by](life)):
            found[name].append(life)
    made = [Group(name, tuple(lives)) for name, lives in found.items()]
    return sorted(made, key=lambda group: (-group.years, group.name))
