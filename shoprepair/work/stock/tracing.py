"""Which repairs a lot went into, and which lots a job has in it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import QuerySet

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Repair
from shoprepair.work.models import Lot, Use
from shoprepair.work.stock.quantities import NOUGHT


@dataclass(slots=True)
class Taken:
    """What one repair or damage (or a job, for no one of them) has of one lot, less what was put back."""

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
    """Which lots went into a job, by material and then by damage: what its repairs share is one line."""
    return sorted(
        _taken(_uses().filter(job=job), _by_damage),
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


def _by_repair(use: Use) -> int | None:
    return use.repair_id


def _by_damage(use: Use) -> int | None:
    return use.repair.damage_id if use.repair else None


def _taken(uses: Iterable[Use], for_what: Callable[[Use], int | None] = _by_repair) -> list[Taken]:
    found: dict[tuple[int, int, int | None], Taken] = {}
    for use in uses:
        key = (use.lot_id, use.job_id, for_what(use))
        taken = found.setdefault(key, Taken(use.lot, use.job, use.repair))
        taken.quantity += use.quantity
        taken.uses.append(use)
    return list(found.values())
