"""Which repairs a lot went into, and which lots a job has in it."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import QuerySet

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Repair
from shoprepair.work.models import Lot, Use
from shoprepair.work.stock.quantities import NOUGHT


@dataclass(slots=True)
class Taken:
    """What one repair (or a job, for no one repair) has of one lot, less what was put back."""

    lot: Lot
    job: Job
    repair: Repair | None
    quantity: Decimal = NOUGHT
    uses: list[Use] = field(default_factory=list)
    """Those that stand, oldest first."""


def used_by(lot: Lot) -> list[Taken]:
    """Which jobs and repairs have something of a lot in them; the newest job first."""
    return sorted(_taken(_uses().filter(lot=lot)), key=lambda taken: -taken.job.number)


def lots_of(job: Job) -> list[Taken]:
    """Which lots went into a job, by material and then by repair."""
    return sorted(
        _taken(_uses().filter(job=job)),
        key=lambda taken: (taken.lot.material.name, taken.repair.damage.number if taken.repair else 0),
    )


def _uses() -> QuerySet[Use]:
    """Uses that were not put back, nor put anything back, with all that is said of them."""
    return (
        Use.objects.filter(puts_back=None, put_back_by=None)
        .select_related("lot__material", "job__customer", "job__inflatable__pattern", "who")
        .select_related("repair__operation", "repair__damage", "step")
        .order_by("id")
    )


def _taken(uses: Iterable[Use]) -> list[Taken]:
    found: dict[tuple[int, int, int | None], Taken] = {}
    for use in uses:
        taken = found.setdefault((use.lot_id, use.job_id, use.repair_id), Taken(use.lot, use.job, use.repair))
        taken.quantity += use.quantity
        taken.uses.append(use)
    return list(found.values())
