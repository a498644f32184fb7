"""From a repair to a line of the price: minutes by the catalogue, materials with their waste."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.pricing import access, costing
from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import Material, OperationMaterial, PriceRules, Repair
from shoprepair.pricing.money import CENT, rounded
from shoprepair.pricing.proposals.measures import Measures, measures
from shoprepair.pricing.proposals.propose import repairs_of_job
from shoprepair.shop.units import Units, say_bench_time, say_length

LEAST_PART = Decimal(5)
"""Cheaper things are not named beside the minutes."""
_BASES = OperationMaterial.Basis


def line_for(repair: Repair, rules: PriceRules) -> Line:
    """The line of one repair: what it takes by its lay-up and the catalogue, at the shop's hourly rate."""
    size, operation, damage = measures(repair), repair.operation, repair.damage
    minutes, amount, own = costing.cost(operation, size, rules)
    return Line(
        kind="repair",
        text=gettext("%(name)s, damage %(number)s") % {"name": operation.name, "number": damage.number},
        detail=_detail(minutes, size, operation.materials.all()),
        operation_code=operation.code,
        repair_id=repair.pk,
        damages=(damage.number,),
        minutes=minutes,
        cost=own,
        amount=amount,
        optional=repair.optional,
        choice=choice_of(repair),
        taken=repair.preferred,
    )


def choice_of(repair: Repair) -> str:
    """The word that the lines of one choice have in common; empty where there is no choice."""
    return (
        gettext("damage %(number)s: %(choice)s") % {"number": repair.damage.number, "choice": repair.choice}
        if repair.choice
        else ""
    )


def access_lines(job: Job, rules: PriceRules, repairs: Sequence[Repair] | None = None) -> list[Line]:
    """A line for each opening, its time once however many repairs it serves."""
    return [access_line(opening, rules) for opening in access.plan(job, rules, repairs).openings]


def lines_for(job: Job, rules: PriceRules, repairs: Sequence[Repair] | None = None) -> list[Line]:
    """Everything a draft starts from: the repairs with their alternatives, then the shared access.

    `repairs`: the job's, where they were read already.
    """
    repairs = repairs_of_job(job) if repairs is None else repairs
    opened = access_lines(job, rules, repairs)
    return [*repair_lines(job, rules, repairs, opened), *opened]


def repair_lines(
    job: Job, rules: PriceRules, repairs: Iterable[Repair], opened: Iterable[Line]
) -> list[Line]:
    """The lines of repairs, beside the lines of what is opened.

    What is offered but not advised, on a damage that nothing is opened for, counts an opening of its own.
    """
    reached = {number for line in opened for number in line.damages}
    return [
        line_for(repair, rules)
        if repair.preferred or repair.damage.number in reached
        else _with_its_own_opening(line_for(repair, rules), access.alone(job, repair, rules), rules)
        for repair in repairs
    ]


def _with_its_own_opening(line: Line, minutes: Decimal, rules: PriceRules) -> Line:
    if not minutes:
        return line
    return replace(
        line,
        detail=gettext("%(detail)s, %(spent)s for an opening of its own")
        % {"detail": line.detail, "spent": spent(minutes)},
        minutes=line.minutes + minutes,
        cost=rounded(line.cost + costing.of_time(minutes, rules.hour_cost), CENT),
        amount=rounded(line.amount + costing.of_time(minutes, rules.hourly_rate), CENT),
    )


def access_line(opening: access.Opening, rules: PriceRules) -> Line:
    """The line of one opening, its time once however many repairs it serves."""
    served = access.numbered(opening.damages)
    detail = gettext("%(spent)s for %(length_m)s of closing seam%(bladder)s") % {
        "spent": spent(opening.minutes),
        "length_m": say_length(opening.length_m, Units()),
        "bladder": gettext(", bladder drawn and put back") if opening.bladder_out else "",
    }
    if len(opening.damages) > 1:
        detail = gettext("Charged once for all of them: %(spent)s") % {"spent": detail}
    return Line(
        kind="access",
        text=gettext("Opening and closing the %(tube_label)s for %(served)s")
        % {"tube_label": opening.tube_label, "served": served},
        detail=detail,
        operation_code=f"opening {opening.tube_key}",
        damages=opening.damages,
        minutes=opening.minutes,
        cost=rounded(costing.of_time(opening.minutes, rules.hour_cost), CENT),
        amount=rounded(costing.of_time(opening.minutes, rules.hourly_rate), CENT),
    )


def quantities(repair: Repair) -> list[tuple[Material, Decimal]]:
    """How much of each material a repair takes by its lay-up and the catalogue, in the material's unit.

    What cutting throws away is not in it.
    """
    return costing.quantities(repair.operation, measures(repair))


def _detail(minutes: Decimal, size: Measures, uses: Iterable[OperationMaterial]) -> str:
    """How the amount comes about: '25 min, 1.40 m of stitching, 0.03 m² of casing cloth'."""
    said = [spent(minutes)]
    if size.stitched_m:
        said.append(gettext("%(stitched_m)s m of stitching") % {"stitched_m": f"{size.stitched_m:.2f}"})
    if size.area_m2:
        said.append(
            gettext("%(area_m2)s m² of %(kind)s") % {"area_m2": _area(size.area_m2), "kind": size.kind}
        )
    said += [f"{count(use.quantity)} × {use.material.name}" for use in uses if _is_part(use)]
    return ", ".join(said)


def _is_part(use: OperationMaterial) -> bool:
    """Whether it is a thing that people count, such as a valve, rather than a dab of glue."""
    whole = use.basis == _BASES.EACH and use.quantity == use.quantity.to_integral_value()
    return whole and use.material.unit == "piece" and use.material.price >= LEAST_PART


def _area(m2: float) -> str:
    return f"{m2:.2f}" if m2 >= 0.01 else f"{m2:.3f}"


def count(number: Decimal) -> str:
    """A figure without needless nought: 25 for 25.0, 25.5 for 25.5."""
    return f"{number.normalize():f}"


def spent(minutes: Decimal) -> str:
    """Bench time of a line, never none: what a hundredth of an hour costs is in the amount."""
    return say_bench_time(max(Decimal(1), rounded(minutes, Decimal(1))))
