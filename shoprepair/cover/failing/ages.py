"""How old gear is when it comes in damaged."""

from dataclasses import dataclass

from django.db.models import Count

from shoprepair.cover.failing.asked import Asked, age, damages

OLDEST = 12
"""From this age on, years are counted together."""


@dataclass(frozen=True, slots=True)
class Ages:
    """Damages by whole years of age; one more for all that are older."""

    counts: tuple[int, ...]
    unknown: int
    """Damages of gear whose year nobody knows."""

    @property
    def known(self) -> int:
        return sum(self.counts)


def ages(asked: Asked) -> Ages:
    """The damages asked about, counted by age in one statement. Bought after it came in counts as new."""
    rows = damages(asked).annotate(age=age()).values_list("age").annotate(n=Count("id"))
    counts = [0] * (OLDEST + 1)
    unknown = 0
    for years, n in rows:
        if years is None:
            unknown += n
        else:
            counts[min(max(years, 0), OLDEST)] += n
    return Ages(tuple(counts), unknown)
