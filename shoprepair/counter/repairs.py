"""What the repairs page shows: each damage with what mends it, drawn and priced, and the openings."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, NamedTuple

from django.db.models import prefetch_related_objects
from django.utils.safestring import SafeString

from shoprepair.counter import drawings
from shoprepair.counter.keys import new_key
from shoprepair.counter.sheet import Finding, finding_of
from shoprepair.jobs.models import Job, Stage
from shoprepair.jobs.questions import TUBES
from shoprepair.mechanics.description import Sentence
from shoprepair.pricing import access, estimate, proposals, rules
from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import Operation, PriceRules, Repair
from shoprepair.pricing.patch import Sized, draw
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units

FEW = 5
"""So many damages stand on the page whole; of more each is a line that opens, the pressing one first."""
STILL_OPEN = (Stage.ENQUIRY, Stage.CHECKED_IN, Stage.ASSESSED, Stage.QUOTE_OUT)
"""Where looking at the repairs reckons them anew: nobody has agreed to anything yet."""


class Option(NamedTuple):
    """One repair with its lay-up, its drawing and its price."""

    repair: Repair
    line: Line
    layup: Sized | None
    drawing: SafeString | str
    notes: tuple[Sentence, ...]

    @property
    def is_aside(self) -> bool:
        """An alternative that is not advised: its lay-up is a tap away."""
        return bool(self.repair.choice) and not self.repair.preferred

    @property
    def weak_percent(self) -> int:
        """By how much a lay-up that the owner let stand is too weak."""
        return max(1, round(100 * self.repair.shortfall)) if self.repair.shortfall else 0


class Choice(NamedTuple):
    """Repairs that exclude one another, or one repair that stands alone."""

    options: tuple[Option, ...]

    @property
    def is_open(self) -> bool:
        return len(self.options) > 1


@dataclass(frozen=True, slots=True)
class Mending:
    """A damage and what is to be done about it."""

    finding: Finding
    glyph: SafeString
    choices: tuple[Choice, ...]
    left_out: list[Repair] = field(default_factory=list)

    @property
    def advised(self) -> list[Option]:
        """What is to be done about it if nobody chooses otherwise."""
        return [option for choice in self.choices for option in choice.options if not option.is_aside]

    @property
    def amount(self) -> Decimal:
        """What that costs, without what is optional."""
        wanted = (option for option in self.advised if not option.repair.optional)
        return sum((option.line.amount for option in wanted), Decimal(0))


def repairs_page(job: Job, units: Units) -> dict[str, Any]:
    """Everything that the repairs page's template names."""
    kept = proposals.propose_job(job) if job.stage in STILL_OPEN else proposals.repairs_of_job(job)
    prefetch_related_objects(kept, "operation__materials__material")
    price = rules.current()
    plan = access.plan(job, price, kept)
    options = {repair.pk: option_of(repair, price, units) for repair in kept}
    operations = list(Operation.objects.filter(active=True))
    mendings = list(_mendings(job, kept, options, units))
    return {
        "job": job,
        "mendings": mendings,
        "many": len(mendings) > FEW,
        "currency": current().currency,
        "plan": plan,
        "tubes": access.drawing(job, plan, units) if plan.openings else "",
        "areas": _by_area(operations),
        "catalogue": bool(operations),
        "add_key": new_key(),
    }


def option_of(repair: Repair, price: PriceRules, units: Units) -> Option:
    """A repair as it is shown: lay-up, drawing, price, and what to mind."""
    layup = proposals.layup_of(repair)
    return Option(
        repair=repair,
        line=estimate.line_for(repair, price),
        layup=layup,
        drawing=draw(layup, units, on_a_tube=repair.damage.element in TUBES) if layup else "",
        notes=proposals.notes(repair),
    )


def _mendings(
    job: Job, kept: Sequence[Repair], options: dict[int, Option], units: Units
) -> Iterator[Mending]:
    of_damage, left_out = defaultdict(list), defaultdict(list)
    for repair in kept:
        of_damage[repair.damage_id].append(options[repair.pk])
    gone = Repair.objects.filter(damage__job=job, left_out=True).exclude(left_out_by=None)
    for repair in gone.select_related("operation"):
        left_out[repair.damage_id].append(repair)
    found = [finding_of(job, damage, [], units) for damage in job.damages.filter(removed_at=None)]
    for finding in sorted(found, key=lambda finding: finding.danger):
        damage = finding.damage
        yield Mending(
            finding=finding,
            glyph=drawings.glyph(job, [damage]),
            choices=tuple(_choices(of_damage[damage.pk])),
            left_out=left_out[damage.pk],
        )


def _choices(options: Iterable[Option]) -> Iterator[Choice]:
    """Alternatives together, where the first of them stands."""
    grouped: dict[str, list[Option]] = {}
    for option in options:
        grouped.setdefault(option.repair.choice or f"alone {option.repair.pk}", []).append(option)
    yield from (Choice(tuple(group)) for group in grouped.values())


def _by_area(operations: Iterable[Operation]) -> list[tuple[str, list[Operation]]]:
    areas: dict[str, list[Operation]] = defaultdict(list)
    for operation in operations:
        areas[operation.get_area_display()].append(operation)
    return sorted(areas.items())
