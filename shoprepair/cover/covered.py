"""The agreed lines of a job that were done and are covered, each with its terms as the papers say."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from shoprepair.cover.reading import Terms
from shoprepair.jobs.models import Damage, Job
from shoprepair.pricing.models import Operation, QuoteLine
from shoprepair.work import invoices
from shoprepair.work.models import Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Covered:
    """One repair that earns a cover."""

    line: QuoteLine
    amount: str
    """As agreed, in the currency of the agreement."""
    currency: str
    operation: Operation
    terms: Terms
    damages: tuple[Damage, ...]
    """Those it mends, by number."""
    steps: tuple[Step, ...]
    """Its own bench steps."""


@dataclass(frozen=True, slots=True)
class _Agreed:
    id: int
    amount: str
    currency: str
    terms: Terms


def covered(job: Job) -> list[Covered]:
    """Every line that the customer took and the shop did, where it is covered, in the order of agreement."""
    agreed = list(_agreed(job))
    if not agreed:
        return []
    lines = QuoteLine.objects.select_related("repair__operation").in_bulk([each.id for each in agreed])
    steps = list(job.steps.filter(kind=Step.Kind.REPAIR).select_related("done_by"))
    damages = list(job.damages.all())
    found = (_covered(lines[each.id], each, steps, damages) for each in agreed if each.id in lines)
    return [each for each in found if each is not None and not _left_out(each.steps)]


def _agreed(job: Job) -> Iterator[_Agreed]:
    """Taken lines with their covers as the standing invoice words them: that is what the papers promise."""
    quotes = invoices.agreements(job)
    invoice = invoices.standing(job)
    parts = invoice.lines["parts"] if invoice else invoices.parts(quotes)
    by_number = {part["quote"]: part["lines"] for part in parts}
    for quote in quotes:
        taken = [line for line in quote.agreed.get("lines", []) if line["taken"]]
        for line, invoiced in zip(taken, by_number.get(quote.number, ()), strict=False):
            if invoiced.get("cover"):
                yield _Agreed(line["id"], line.get("amount", ""), quote.currency, _terms(invoiced["cover"]))


def _terms(kept: Mapping[str, Any]) -> Terms:
    """Invoices of earlier years say neither months nor whether the cover passes on."""
    return Terms(
        words=kept["terms"], months=kept.get("months") or None, passes_on=kept.get("passes_on", True)
    )


def _covered(line: QuoteLine, agreed: _Agreed, steps: list[Step], damages: list[Damage]) -> Covered | None:
    operation = _operation(line)
    if operation is None:
        return None
    return Covered(
        line=line,
        amount=agreed.amount or str(line.amount),
        currency=agreed.currency,
        operation=operation,
        terms=agreed.terms,
        damages=tuple(damage for damage in damages if _is_mended(damage, line)),
        steps=tuple(step for step in steps if _is_of(step, line)),
    )


def _operation(line: QuoteLine) -> Operation | None:
    if line.repair:
        return line.repair.operation
    return Operation.objects.filter(code=line.operation_code).first()


def _is_mended(damage: Damage, line: QuoteLine) -> bool:
    if line.repair:
        return bool(damage.pk == line.repair.damage_id)
    return damage.number in line.damages


def _is_of(step: Step, line: QuoteLine) -> bool:
    if line.repair_id:
        return bool(step.repair_id == line.repair_id)
    same = step.operation_code == line.operation_code and step.damages == line.damages
    return bool(step.repair_id is None and same)


def _left_out(steps: tuple[Step, ...]) -> bool:
    """Whether it was left out at the bench. What has no steps is taken for done, as the papers take it."""
    return bool(steps) and all(step.state == Step.State.SKIPPED for step in steps)
