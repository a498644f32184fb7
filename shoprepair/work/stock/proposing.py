"""What to take at a step, and from which lot."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import F, Q
from django.utils import timezone

from shoprepair.pricing.models import Material, Repair
from shoprepair.work.models import Lot, Step
from shoprepair.work.stock.lots import choose, expired
from shoprepair.work.stock.quantities import NOUGHT
from shoprepair.work.stock.reserving import taken_for, takes


@dataclass(frozen=True, slots=True)
class Proposal:
    """One material of a step's repair, in the material's unit."""

    material: Material
    needed: Decimal
    """By the repair's lay-up and the catalogue, with what cutting wastes."""
    taken: Decimal
    """For this repair, at any of its steps, less what was put back."""
    lots: tuple[Lot, ...]
    """Open ones with something left, the first to expire first; expired ones are among them."""
    lot: Lot | None
    """To take from: the first to expire that has enough in one piece, else the first with any."""

    @property
    def rest(self) -> Decimal:
        """Still to be taken."""
        return max(self.needed - self.taken, NOUGHT)

    @property
    def offered(self) -> Decimal:
        """What the proposed lot can give of the rest."""
        return min(self.rest, self.lot.left) if self.lot else NOUGHT


def proposals(step: Step) -> list[Proposal]:
    """Each material that the step's repair takes, with the lot to take it from; none without a repair.

    A repair's materials may be taken at any of its steps; a later one proposes the rest.
    """
    if step.repair_id is None:
        return []
    repair = (
        Repair.objects.select_related("operation", "damage__job__inflatable__pattern")
        .prefetch_related("operation__materials__material")
        .get(pk=step.repair_id)
    )
    wanted = takes(repair)
    taken = taken_for(Q(job=step.job_id, repair=repair))
    shelf = on_shelf(list(wanted))
    return [
        _proposal(material, needed, taken.get((step.job_id, repair.pk, material.pk), NOUGHT), shelf)
        for material, needed in wanted.items()
    ]


def for_step(step: Step) -> list[tuple[Material, Decimal]]:
    """What the step's repair still takes of each material: what it needs, less what was taken for it."""
    return [(each.material, each.rest) for each in proposals(step)]


def on_shelf(materials: Sequence[Material] | None = None) -> list[Lot]:
    """Open lots with something left, of these materials or of all, the first to expire first."""
    lots = Lot.objects.filter(closed=False, left__gt=0).select_related("material")
    if materials is not None:
        lots = lots.filter(material__in=materials)
    return list(lots.order_by("material__name", F("expires_on").asc(nulls_last=True), "received_on", "id"))


def _proposal(material: Material, needed: Decimal, taken: Decimal, shelf: Sequence[Lot]) -> Proposal:
    lots = tuple(lot for lot in shelf if lot.material_id == material.pk)
    today = timezone.localdate()
    good = [lot for lot in lots if not expired(lot, today)]
    return Proposal(material, needed, taken, lots, choose(good, max(needed - taken, NOUGHT)))
