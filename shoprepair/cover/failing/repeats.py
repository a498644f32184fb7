"""The share of repairs whose place had to be repaired again."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Count, Exists, OuterRef, Q, QuerySet
from django.utils.translation import gettext

from shoprepair.cover import rates
from shoprepair.cover.failing.asked import Asked, damages
from shoprepair.jobs.models import Damage, Stage
from shoprepair.mechanics.description import FindingKind
from shoprepair.pricing.models import Repair

NEAR_M = 0.10
"""A later damage this near, on the same part, is in the same place: the reach of a usual patch (common
practice, no source)."""
TRACES = (FindingKind.RESIDUE.value, FindingKind.STAIN.value)
"""What an old repair leaves behind is no new damage."""


@dataclass(frozen=True, slots=True)
class Repeat:
    """Repairs with something in common, and how many of their places were damaged again."""

    name: str
    repaired: int
    again: int

    @property
    def share(self) -> rates.Limits:
        """With exact limits."""
        return rates.share_limits(self.again, self.repaired)


def repeats(asked: Asked) -> tuple[Repeat, list[Repeat], list[Repeat]]:
    """All repairs together, by part of the gear, and by kind of damage: one statement."""
    repaired = Exists(Repair.objects.filter(damage=OuterRef("pk"), left_out=False))
    rows = list(
        damages(asked)
        .filter(repaired, job__stage=Stage.HANDED_BACK)
        .annotate(again=Exists(later_there().exclude(kind__in=TRACES)))
        .values_list("element", "kind")
        .annotate(n=Count("id"), more=Count("id", filter=Q(again=True)))
    )
    by_part = _summed((part, n, more) for part, _, n, more in rows)
    by_kind = _summed((kind, n, more) for _, kind, n, more in rows)
    whole = Repeat(gettext("all repairs"), sum(row[2] for row in rows), sum(row[3] for row in rows))
    return whole, by_part, by_kind


def later_there() -> QuerySet[Damage]:
    """For a query over damages: those found on a later visit of the same gear, in the same place."""
    return Damage.objects.filter(
        job__inflatable=OuterRef("job__inflatable"),
        job__received_at__gt=OuterRef("job__received_at"),
        element=OuterRef("element"),
        removed_at=None,
        x_m__range=(OuterRef("x_m") - NEAR_M, OuterRef("x_m") + NEAR_M),
        y_m__range=(OuterRef("y_m") - NEAR_M, OuterRef("y_m") + NEAR_M),
    ).order_by()


def _summed(rows: Iterable[tuple[str, int, int]]) -> list[Repeat]:
    sums: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for name, n, more in rows:
        sums[name][0] += n
        sums[name][1] += more
    found = [Repeat(name, n, more) for name, (n, more) in sums.items()]
    return sorted(found, key=lambda repeat: (-repeat.repaired, repeat.name))
