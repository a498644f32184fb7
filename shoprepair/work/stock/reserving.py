"""What agreed repairs will take: reserved until it is used, or until nothing more is done on the job."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.db.models import Exists, OuterRef, Q, QuerySet, Sum

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import estimate
from shoprepair.pricing.models import Material, Quote, QuoteLine, Repair
from shoprepair.pricing.quotes import finding
from shoprepair.work.models import Need, Step, Use
from shoprepair.work.stock.quantities import NOUGHT, enough, kept

OVER = (Stage.READY, Stage.HANDED_BACK, Stage.DECLINED, Stage.WITHDRAWN)
"""Stages in which nothing more is taken for a job, so that it reserves nothing."""


@dataclass(frozen=True, slots=True)
class Reserved:
    """What one job still reserves of a material."""

    job: Job
    material: Material
    repair: Repair | None
    quantity: Decimal


def takes(repair: Repair) -> dict[Material, Decimal]:
    """What a repair takes off the shelf: cloth, tape and thread with what cutting wastes, pieces as they are.

    To the next thousandth of the material's unit.
    """
    taken: dict[Material, Decimal] = defaultdict(Decimal)
    for material, quantity in estimate.quantities(repair):
        cut = material.unit != Material.Unit.PIECE
        taken[material] += quantity * (1 + material.waste_percent / 100) if cut else quantity
    return {material: enough(quantity) for material, quantity in taken.items() if quantity}


@transaction.atomic
def reserve(quote: Quote) -> list[Need]:
    """Reserve what the repairs of a job's agreements take, an accepted quote and its additions together.

    What no agreement in force asks for any more is released. Doing it again changes nothing.
    """
    job = Job.objects.select_for_update().get(pk=quote.job_id)
    repairs = _agreed_repairs(job)
    there = {(need.repair_id, need.material_id): need for need in Need.objects.filter(job=job)}
    wanted: dict[tuple[int | None, int], Decimal] = {
        (repair.pk, material.pk): quantity
        for repair in repairs
        for material, quantity in takes(repair).items()
    }
    for key, need in there.items():
        need.open, need.quantity = key in wanted, wanted.get(key, need.quantity)
    Need.objects.bulk_update(there.values(), ["open", "quantity"])
    Need.objects.bulk_create(
        Need(job=job, repair_id=repair, material_id=material, quantity=quantity)
        for (repair, material), quantity in wanted.items()
        if (repair, material) not in there
    )
    return list(Need.objects.filter(job=job, open=True).select_related("material").order_by("id"))


def _agreed_repairs(job: Job) -> list[Repair]:
    """The repairs on taken lines of every accepted quote of a job."""
    lines = [line for line in finding.taken_lines(job) if line.kind == QuoteLine.Kind.REPAIR]
    return list(
        Repair.objects.filter(pk__in={line.repair_id for line in lines if line.repair_id})
        .select_related("operation", "damage__job__inflatable__pattern")
        .prefetch_related("operation__materials__material")
    )


def open_needs() -> QuerySet[Need]:
    """Needs of jobs on which work is still to be done, but for repairs whose steps are all settled."""
    steps = Step.objects.filter(job=OuterRef("job"), repair=OuterRef("repair"))
    to_do = steps.filter(state__in=(Step.State.WAITING, Step.State.RUNNING))
    needs = Need.objects.filter(open=True).exclude(job__stage__in=OVER)
    # Of most needs something is to do, after which nothing else is asked of their steps.
    return needs.exclude(~Exists(to_do), Exists(steps))


def still_needed(needs: Iterable[Need]) -> list[tuple[Need, Decimal]]:
    """What of each need has not been taken yet, in two statements however many there are."""
    needs = list(needs)
    taken = taken_for(Q(job__in={need.job_id for need in needs}))
    return [
        (
            need,
            max(need.quantity - taken.get((need.job_id, need.repair_id, need.material_id), NOUGHT), NOUGHT),
        )
        for need in needs
    ]


def taken_for(which: Q) -> dict[tuple[int, int | None, int], Decimal]:
    """What was taken, less what was put back, by job, repair and material."""
    sums = (
        Use.objects.filter(which)
        .values_list("job_id", "repair_id", "lot__material_id")
        .annotate(taken=Sum("quantity"))
        .order_by()
    )
    return {(job, repair, material): kept(Decimal(taken)) for job, repair, material, taken in sums}


def reserved_by(material: Material) -> list[Reserved]:
    """Which jobs reserve a material, and how much each still does; the oldest need first."""
    needs = (
        open_needs()
        .filter(material=material)
        .select_related("job__customer", "repair__damage", "repair__operation", "material")
    )
    return [
        Reserved(need.job, need.material, need.repair, rest)
        for need, rest in still_needed(needs.order_by("id"))
        if rest
    ]
